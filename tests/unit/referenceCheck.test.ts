import { describe, expect, it } from 'vitest';
import { gridDoubt } from '../../src/domain/gridDoubt';
import type { ReferenceKind, ScaleReference } from '../../src/domain/measurement';
import { disagreementsWith, stepSeenBy } from '../../src/domain/referenceCheck';
import { withStep } from '../../src/domain/referenceStep';
import { flatPlane, openMat, PX_PER_MM } from '../builders/flatMeasurement';

const at = { x: 1000, y: 800 };

/** A reference that makes every length `factor` times what it is. */
const saying = (kind: ReferenceKind, factor: number, uncertainty: number, score = 0.9): ScaleReference => ({
  ...openMat(),
  kind,
  score,
  question: null,
  plane: {
    ...flatPlane,
    photoToPlane: [factor / PX_PER_MM, 0, 0, 0, factor / PX_PER_MM, 0, 0, 0, 1],
    relativeUncertainty: uncertainty,
  },
});

describe('two references in one photo', () => {
  const mat = withStep(openMat(), 25.4);

  it('agree within their combined uncertainty of two standard deviations', () => {
    // √(0.05² + 0.4²) % = 0.403 %, doubled 0.806 %.
    expect(disagreementsWith(mat, [saying('card', 1.008, 0.004)], at)).toEqual([]);
    const [found] = disagreementsWith(mat, [saying('card', 1.009, 0.004)], at);
    expect(found!.share).toBeCloseTo(0.009, 6);
    expect(found!.allowed).toBeCloseTo(0.00806, 5);
  });

  it('are both named with what each says when they disagree, the worst first', () => {
    const found = disagreementsWith(mat, [saying('card', 1.02, 0.001), saying('ruler', 0.94, 0.001)], at);
    expect(found.map(({ other }) => other.kind)).toEqual(['ruler', 'card']);
    expect(found[1]!.sentence).toMatch(
      /^The mat and the card disagree: what is 50\.0 mm by the one is 51\.0 mm/,
    );
  });

  it('count only when surely found, with a known length, and of another kind', () => {
    const open = { ...saying('coin', 2, 0.001), plane: null };
    const others = [saying('card', 2, 0.001, 0.3), open, saying('grid', 2, 0.001)];
    expect(disagreementsWith(mat, others, at)).toEqual([]);
    expect(disagreementsWith(openMat(), [saying('card', 2, 0.001)], at)).toEqual([]);
  });

  it('are compared on the table: a face 1.52 mm up, seen from 300 mm, looks 0.507 % larger', () => {
    // Relief displacement, first order: d = r·h/H (published value for a coin of 1.52 mm at 300 mm: 0.507 %).
    const coin = saying('coin', 1, 0.0005);
    const raised: ScaleReference = {
      ...coin,
      plane: {
        ...coin.plane!,
        cameraHeightMm: { value: 300, standardUncertainty: 3 },
        referenceHeightMm: 1.52,
      },
    };
    expect(disagreementsWith(mat, [raised], at)[0]!.share).toBeCloseTo(0.00507, 5);
  });

  it('let the one that is known propose the spacing of the other, with its ±', () => {
    const seen = stepSeenBy(openMat(25.4), saying('card', 1.001, 0.002), at)!;
    expect(seen.value).toBeCloseTo(25.4254, 4);
    expect(seen.plusMinus95).toBeCloseTo(2 * Math.hypot(0.002, 0.0005) * 25.4254, 6);
    expect(stepSeenBy(openMat(), { ...saying('card', 1, 0.002), plane: null }, at)).toBeNull();
  });
});

describe('a grid taken for inches or centimetres', () => {
  it('is not doubted when it makes a gauge that sock machines knit', () => {
    expect(gridDoubt(withStep(openMat(), 25.4), 8)).toBeNull();
    expect(gridDoubt(withStep(openMat(), 10), 4)).toBeNull();
  });

  it('is asked about when centimetres make 20 stitches per inch and inches would make 8', () => {
    const doubt = gridDoubt(withStep(openMat(), 10), 20.32)!;
    expect(doubt.otherPitchMm).toBeCloseTo(25.4, 9);
    expect(doubt.otherStitchesPerInch).toBeCloseTo(8, 9);
    expect(doubt.otherIsLikely).toBe(true);
    expect(doubt.sentence).toMatch(/20\.3 stitches per inch.*4 to 16.*inches, it would make 8\.0/);
  });

  it('is asked about when half inches make 3 stitches per inch and half centimetres would make 7.6', () => {
    const doubt = gridDoubt(withStep(openMat(), 12.7), 3)!;
    expect(doubt.otherPitchMm).toBeCloseTo(5, 9);
    expect(doubt.otherStitchesPerInch).toBeCloseTo(7.62, 9);
  });

  it('is asked about plainly when no unit makes sense, and other references never are', () => {
    expect(gridDoubt(withStep(openMat(), 25.4), 90)!.otherIsLikely).toBe(false);
    expect(gridDoubt({ ...withStep(openMat(), 25.4), kind: 'ruler' }, 90)).toBeNull();
  });
});
