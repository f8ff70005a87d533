import { describe, expect, it } from 'vitest';
import { foundScale, verdictOf } from '../../cli/verdict';
import type { ScaleReference } from '../../src/domain/measurement';
import { withPrintScale } from '../../src/domain/referenceSheet';
import { withStep } from '../../src/domain/referenceStep';
import { flatMeasurement, flatPlane, openMat } from '../builders/flatMeasurement';

const fabric = { thicknessMm: null, layers: 1 } as const;

const reasonsFor = (mat: ScaleReference, gridPitchMm: number | null): readonly string[] => {
  const measurement = {
    ...flatMeasurement(),
    references: [mat],
    chosenReference: mat.plane === null ? null : 0,
  };
  const hints = { gridPitchMm, reference: 'auto', region: null, thicknessMm: null } as const;
  return verdictOf(measurement, hints, fabric).reasons;
};

describe('what the command says of a mat', () => {
  const said = withStep({ ...openMat(), score: 0.98 }, 25.4);

  it('is nothing where heavy and fine lines were told apart, or where there are none to tell apart', () => {
    expect(reasonsFor({ ...said, gridLines: 'heavy' }, 25.4)).not.toContainEqual(
      expect.stringMatching(/lines/),
    );
    expect(reasonsFor({ ...said, gridLines: 'neighbouring' }, 25.4)).not.toContainEqual(
      expect.stringMatching(/lines/),
    );
  });

  it('is that other lines may be meant where that is not sure', () => {
    expect(reasonsFor({ ...said, score: 0.49, gridLines: 'unclear' }, 25.4)[0]).toMatch(
      /which of the mat's lines/,
    );
  });

  it('is that its lines may be miscounted where they are hard to make out', () => {
    expect(reasonsFor({ ...said, score: 0.7, gridLines: 'neighbouring' }, 25.4)[0]).toMatch(
      /hard to make out/,
    );
  });

  it('is not that the spacing be given where it was given and heavy lines may be mistaken', () => {
    const open: ScaleReference = { ...openMat(), score: 0.49, gridLines: 'unclear' };
    expect(reasonsFor(open, 25.4)[0]).toMatch(/no spacing is taken on trust/);
    expect(reasonsFor(open, null)[0]).toMatch(/--grid-pitch/);
  });
});

const verdictBy = (reference: ScaleReference) =>
  verdictOf(
    { ...flatMeasurement(), references: [reference], chosenReference: 0 },
    { gridPitchMm: null, reference: 'auto', region: null, thicknessMm: null },
    fabric,
  );
const withShare = (relativeUncertainty: number) => {
  const plane = { ...flatPlane, relativeUncertainty };
  return { plane, unitPlane: plane };
};

describe('what the command says of a printed sheet', () => {
  const untold: ScaleReference = {
    ...openMat(),
    kind: 'sheet',
    question: 'checkRulers',
    ...withShare(0.0116),
  };

  it('is a question with the option that answers it, never "measured", until the check rulers are told', () => {
    const { status, reasons, gauge } = verdictBy(untold);
    expect(status).toBe('proposal');
    expect(reasons.join(' ')).toMatch(/has not been said.*± 2\.3 %.*--check-rulers/);
    // Of 8 to the inch the printer alone takes 2 %.
    expect(gauge!.gauge.walesPerMm.plusMinus95 / gauge!.gauge.walesPerMm.value).toBeGreaterThan(0.02);
    expect(foundScale(untold, [untold], { x: 1000, y: 800 }).settled).toBe(false);
  });

  it('is nothing once they are told', () => {
    const told = withPrintScale(untold, { across: 1, along: 1 });
    expect(verdictBy(told)).toMatchObject({ status: 'measured', reasons: [] });
  });
});

describe('what the command says of a coin', () => {
  const coin = (share: number): ScaleReference => ({
    ...withStep({ ...openMat(), kind: 'coin' }, 23.25),
    ...withShare(share),
  });
  const settled = (share: number): boolean =>
    foundScale(coin(share), [coin(share)], { x: 1000, y: 800 }).settled;

  it('is what to do about a ± that is too wide for a gauge, and the number is not taken without that', () => {
    const { status, reasons } = verdictBy(coin(0.016));
    expect(status).toBe('proposal');
    expect(reasons[0]).toMatch(
      /± 3\.2 %, too wide for a gauge: lay it nearer to the swatch, photograph from/,
    );
    expect(settled(0.016)).toBe(false);
  });

  it('is its ± where that alone keeps the number from being sure, and nothing where it does not', () => {
    expect(verdictBy(coin(0.01)).reasons[0]).toMatch(/to ± 2\.0 %, and no number here is surer/);
    expect(settled(0.01)).toBe(true);
    expect(verdictBy(coin(0.002))).toMatchObject({ status: 'measured', reasons: [] });
  });
});
