import { beforeAll, describe, expect, it } from 'vitest';
import { gaugeOf } from '../../src/domain/gaugeOf';
import { perMmToPerInch } from '../../src/domain/units';
import { opencvReady } from '../../workers/opencv';
import { findStitches } from '../../workers/stitches/findStitches';
import type { Structure } from '../builders/fabric';
import { drawScene } from '../builders/scene';
import { evenFabric, evenScene } from '../builders/scene-plain';

/** Reads a drawn swatch and compares its densities with the truth, at the height that the photo shows. */
const readAgainstTruth = (structure: Structure, rollRad = 0) => {
  const { image, truth } = drawScene({
    ...evenScene,
    camera: { ...evenScene.camera, rollRad },
    fabric: { ...evenFabric, structure, needles: 36, courses: 40 },
  });
  const { grid, window } = findStitches({ image, photoPxPerWorkPx: 1 }, { region: null });
  if (grid === null || window === null) throw new Error('Nothing was read in the drawn photo.');
  const plane = {
    photoToPlane: truth.photoToFabric,
    residualPx: 0,
    relativeUncertainty: 0,
    tiltRad: null,
    cameraHeightMm: null,
    referenceHeightMm: 0,
  };
  const result = gaugeOf(grid, window, plane, { thicknessMm: null, layers: 1 });
  if (!result.ok) throw new Error(result.sentence);
  const off = (perMm: number, perInch: number): number => Math.abs(perMmToPerInch(perMm) / perInch - 1);
  return {
    stitchesOff: off(result.gauge.walesPerMm.value, truth.gauge.stitchesPerInch),
    rowsOff: off(result.gauge.coursesPerMm.value, truth.gauge.rowsPerInch),
    needlesOff: off(result.needlePositionsPerMm.value, truth.gauge.needlePositionsPerInch),
    gaps: grid.wales.filter(({ kind }) => kind === 'needleGap'),
  };
};

describe('stitches and rows are within 1 % of the truth', () => {
  beforeAll(opencvReady);

  const expectRight = (structure: Structure, rollRad = 0) => {
    const read = readAgainstTruth(structure, rollRad);
    expect(read.stitchesOff).toBeLessThan(0.01);
    expect(read.rowsOff).toBeLessThan(0.01);
    return read;
  };

  for (const [knit, purl] of [
    [1, 1],
    [2, 1],
    [2, 2],
  ] as const) {
    it(`in a ${knit} × ${purl} rib that is stretched open, counting its knit columns, and telling its purl columns from empty needles`, () => {
      const { gaps, needlesOff } = expectRight({ kind: 'rib', knit, purl, openness: 0.7 });
      expect(gaps.every(({ holds }) => holds === 'purl')).toBe(true);
      expect(needlesOff).toBeLessThan(0.01);
    });

    it(`in a closed ${knit} × ${purl} rib, whose purl columns are hidden, upside down`, () => {
      expectRight({ kind: 'rib', knit, purl, openness: 0 }, Math.PI);
    });
  }

  for (const gapEvery of [2, 3, 4, 6]) {
    it(`with every needle out whose number divides by ${gapEvery}, which it marks as empty needles`, () => {
      const { gaps, needlesOff } = expectRight({ kind: 'mockRib', gapEvery, gapWidth: 1.1 });
      expect(gaps.length).toBeGreaterThan(0);
      expect(gaps.some(({ holds }) => holds === 'purl')).toBe(false);
      expect(needlesOff).toBeLessThan(0.01);
    });
  }
});
