import { describe, expect, it } from 'vitest';
import type { CameraLevel } from '../../src/domain/cameraLevel';
import { photoPoint } from '../../src/domain/coordinates';
import type { CountWindow, StitchGrid } from '../../src/domain/grid';
import type { ReferenceFinder, ScaleContext } from '../../workers/scale/kind';
import { correctedBeside } from '../../workers/scale/levelled';
import { planeOnLevel } from '../../workers/scale/planeOnLevel';
import { sameThing } from '../../workers/scale/sameThing';
import { wantedAt } from '../../workers/scale/wantedAt';

const photo = { widthPx: 1600, heightPx: 1200, focalLength35Mm: 26 };
const count = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
const line = (id: string, points: readonly (readonly [number, number])[]): StitchGrid['wales'][number] => ({
  id,
  kind: 'stitch',
  origin: 'detected',
  points: points.map(([x, y]) => photoPoint(x, y)),
});
/** An even piece seen squarely, in the upper half of the photo. */
const grid: StitchGrid = {
  wales: count(30).map((w) =>
    line(
      `w${w}`,
      count(30).map((c) => [500 + 20 * w, 100 + 14 * c] as const),
    ),
  ),
  courses: count(30).map((c) =>
    line(
      `c${c}`,
      count(30).map((w) => [500 + 20 * w, 100 + 14 * c] as const),
    ),
  ),
};
const window = {
  corners: [photoPoint(600, 160), photoPoint(980, 160), photoPoint(980, 440), photoPoint(600, 440)],
} as unknown as CountWindow;
const [left, right] = [photoPoint(600, 1000), photoPoint(1000, 1000)];
const handles = [left, right];

/** A thing of one length near the lower side, that leans on the level it is told. */
const lengthKind: ReferenceFinder = {
  kind: 'caliper',
  sameWithin: sameThing,
  find: () => [],
  correct: (context) => ({
    kind: 'caliper',
    score: 0.6,
    outline: [],
    handles,
    pitchMm: null,
    question: null,
    plane: planeOnLevel([left, right], context.level(), photo, wantedAt(context), 0.001),
    unitPlane: null,
    sentence: 'Found.',
  }),
};
const placed = (level: CameraLevel) =>
  correctedBeside(
    lengthKind,
    { photo, grid: () => null, level: () => level, swatchAt: null } as unknown as ScaleContext,
    { kind: 'caliper', handles, pitchMm: null, lengthMm: 1, stitches: { grid, window } },
  );

describe('a thing put down by hand beside stitches that are known', () => {
  it('is carried to them by the tilt that they show where the rest of the photo agrees', () => {
    const found = placed({ slopeX: 0.01, slopeY: 0.02, uncertainty: 0.05 });
    expect(found.score).toBe(0.6);
    expect(found.sentence).toBe('Found. How the camera was tilted is told by the evenness of the stitches.');
    expect(found.plane?.relativeUncertainty).toBeLessThan(0.015);
  });

  it('gets a ± that holds both answers, and is asked about, where the rest of the photo tells another tilt', () => {
    // 700 px are more than half a focal length here: a slope of 0.3 over them changes lengths by more than a tenth.
    const found = placed({ slopeX: 0, slopeY: 0.3, uncertainty: 0.03 });
    expect(found.score).toBeLessThan(0.3);
    expect(found.sentence).toContain('does not agree');
    expect(2 * (found.plane?.relativeUncertainty ?? 0)).toBeGreaterThan(0.1);
  });
});
