import { describe, expect, it } from 'vitest';
import { verdictOf } from '../../cli/verdict';
import type { ScaleReference } from '../../src/domain/measurement';
import { withStep } from '../../src/domain/referenceStep';
import { flatMeasurement, openMat } from '../builders/flatMeasurement';

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
