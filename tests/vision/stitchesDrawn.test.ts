import { beforeAll, describe, expect, it } from 'vitest';
import type { StitchFinding } from '../../src/domain/measurement';
import { opencvReady } from '../../workers/opencv';
import { findStitches } from '../../workers/stitches/findStitches';
import { drawScene } from '../builders/scene';
import { evenFabric, evenScene } from '../builders/scene-plain';
import { randomSpec } from '../builders/scene-random';
import type { SceneTruth } from '../builders/scene-truth';

const { camera } = evenScene;
const garter = {
  ...evenFabric,
  structure: { kind: 'garter' },
  needles: 30,
  courses: 60,
  coursePitchMm: evenFabric.walePitchMm / 1.85,
} as const;

const read = (scene: typeof evenScene): { finding: StitchFinding; truth: SceneTruth } => {
  const { image, truth } = drawScene(scene);
  return { finding: findStitches({ image, photoPxPerWorkPx: 1 }, { region: null }), truth };
};

/** Rows to a stitch's width do not depend on how large the fabric looks; a tilt of 3° draws them out by a few parts in a thousand. */
const expectShape = ({ finding, truth }: ReturnType<typeof read>, rowsSeenAsOne: number): void => {
  const { stitchesPerInch, rowsPerInch } = truth.gauge;
  const shape = finding.pitchPx!.wale / finding.pitchPx!.course;
  expect(Math.abs((shape * rowsSeenAsOne) / (rowsPerInch / stitchesPerInch) - 1)).toBeLessThan(0.012);
};

describe('the lattice of a drawn fabric', () => {
  beforeAll(opencvReady);

  it('has the ridges of garter for rows, whichever way they run in the photo', () => {
    for (const rollRad of [0, Math.PI / 2]) {
      const seen = read({ ...evenScene, fabric: garter, camera: { ...camera, rollRad } });
      // Two rows make a ridge.
      expectShape(seen, 2);
      const wale = seen.finding.grid!.wales[10]!.points;
      const lies = Math.abs(wale.at(-1)!.x - wale[0]!.x) > Math.abs(wale.at(-1)!.y - wale[0]!.y);
      expect(lies).toBe(rollRad !== 0);
    }
  });

  it('is read where a row is less than four pixels high, and she is told to move closer', () => {
    const seen = read({
      ...evenScene,
      fabric: { ...evenFabric, needles: 50, courses: 70 },
      camera: { ...camera, distanceMm: 480 },
    });
    expect(seen.finding.pitchPx!.course).toBeLessThan(4);
    expectShape(seen, 1);
    expect(seen.finding.confidence.status).toBe('proposal');
    expect(seen.finding.confidence.reasons.join(' ')).toContain('move closer');
  });

  it('is not the beat of a marl’s plies, though that looks even: what is not clear is looked at without its dye too', () => {
    const { finding, truth } = read(randomSpec(90_100_095, 'marl', 1600).spec);
    const { stitchesPerInch, rowsPerInch } = truth.gauge;
    const shape = finding.pitchPx!.wale / finding.pitchPx!.course;
    // A tilt draws the shape out by up to 2 %; the beat is off by 13 %.
    expect(Math.abs(shape / (rowsPerInch / stitchesPerInch) - 1)).toBeLessThan(0.03);
  });
});
