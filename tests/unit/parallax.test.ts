import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parallaxOf, visibleHeight } from '../../src/domain/parallax';
import { knownFabrics, loadFabric } from './fixtures/knownFabric';

const camera = (value: number, standardUncertainty = 0): { value: number; standardUncertainty: number } => ({
  value,
  standardUncertainty,
});

describe('the height of the visible face', () => {
  for (const name of knownFabrics) {
    const fabric = loadFabric(name);
    const walePitchMm = 25.4 / fabric.needlePositionsPerInch;

    it(`is known within 6 % for ${fabric.name} from its stitches alone`, () => {
      const height = visibleHeight({
        thicknessMm: null,
        layers: fabric.layers,
        walePitchMm,
        coursePitchMm: 25.4 / fabric.rowsPerInch,
        hasNeedleGaps: fabric.waleKinds.includes('needleGap'),
      });
      expect(Math.abs(height.mm / fabric.fabricVisibleMm - 1)).toBeLessThan(0.06);
    });

    it(`is known within 3 % for ${fabric.name} from its thickness`, () => {
      const height = visibleHeight({ thicknessMm: fabric.fabricTopMm, layers: fabric.layers, walePitchMm });
      expect(Math.abs(height.mm / fabric.fabricVisibleMm - 1)).toBeLessThan(0.03);
    });
  }

  it('is guessed from the rows where columns are no measure of a stitch', () => {
    // Munden 1959: a relaxed plain stitch is 1.3 times as wide as it is high.
    const rowMm = 2.4;
    const guess = (walePitchMm: number, hasNeedleGaps = false) =>
      visibleHeight({ thicknessMm: null, layers: 1, walePitchMm, coursePitchMm: rowMm, hasNeedleGaps });
    const plain = guess(1.3 * rowMm);
    const everySecondOut = guess(0.65 * rowMm, true);
    expect(everySecondOut.mm).toBeCloseTo(plain.mm, 9);
    // A rib of one and one shows every second column; it is thicker than plain, but not twice.
    const rib = guess(2 * 1.3 * rowMm);
    expect(rib.mm / plain.mm).toBeGreaterThan(1.1);
    expect(rib.mm / plain.mm).toBeLessThan(1.5);
    // Garter shows two rows as one ridge; it is thicker, but as much is seen of its furrows as of its ridges.
    const garter = visibleHeight({
      thicknessMm: null,
      layers: 1,
      walePitchMm: 1.3 * rowMm,
      coursePitchMm: 1.45 * rowMm,
    });
    expect(garter.mm).toBeGreaterThan(plain.mm);
    expect(garter.mm / plain.mm).toBeLessThan(1.08);
    for (const other of [everySecondOut, rib, garter])
      expect(other.standardUncertainty / other.mm).toBeGreaterThan(plain.standardUncertainty / plain.mm);
  });

  it('is higher where purl columns stand between, for a rib is up to twice as thick as plain fabric', () => {
    // D. J. Spencer, Knitting Technology (from memory): a relaxed 1 × 1 rib is twice as thick as plain fabric of the same yarn.
    const rowMm = 2.4;
    const guess = (more: object) =>
      visibleHeight({ thicknessMm: null, layers: 1, walePitchMm: 2.5, coursePitchMm: rowMm, ...more });
    const gapped = guess({ hasNeedleGaps: true });
    const rib = guess({ hasNeedleGaps: true, hasPurlColumns: true });
    expect(rib.mm / gapped.mm).toBeGreaterThan(1.15);
    expect(rib.mm / gapped.mm).toBeLessThan(1.5);
    // Twice as thick, of which a quarter of the upper layer is not seen, is still likely by its own ±.
    expect(1.77 * gapped.mm).toBeLessThan(rib.mm + 3 * rib.standardUncertainty);
  });

  it('is unsure by the air below and by how thick yarns are for their stitch, each on its own', () => {
    // Tightness factors of plain weft-knitted fabrics, 12 to 17 (Spencer, from memory): yarn that is off by 17 % at most, a rectangular distribution.
    const tightness = (17 - 12) / (17 + 12);
    const guess = (walePitchMm: number) => visibleHeight({ thicknessMm: null, layers: 1, walePitchMm });
    const thick = guess(1000);
    expect(thick.standardUncertainty / thick.mm).toBeCloseTo(tightness / Math.sqrt(3), 2);
    const thin = guess(1e-6);
    expect(thin.standardUncertainty * Math.sqrt(3)).toBeCloseTo(thin.mm, 5);
  });

  it('is less sure when guessed than when typed', () => {
    const guessed = visibleHeight({ thicknessMm: null, layers: 1, walePitchMm: 3.2 });
    const typed = visibleHeight({ thicknessMm: 3.3, layers: 1, walePitchMm: 3.2 });
    expect(typed.standardUncertainty).toBeLessThan(guessed.standardUncertainty);
  });
});

describe('the enlargement by height', () => {
  it('agrees with relief displacement in a vertical photograph: h 72 m, r 10 cm, d 7.2 mm at H 1000 m', () => {
    // Surveying textbook example for d = r·h/H, r measured in the photo from the nadir to the displaced top.
    const [heightM, radiusMm, displacementMm, cameraM] = [72, 100, 7.2, 1000];
    const plane = { cameraHeightMm: camera(cameraM), referenceHeightMm: 0 };
    const { scaleFactor } = parallaxOf({ thicknessMm: heightM / 0.77, layers: 1, walePitchMm: 1 }, plane);
    expect(radiusMm - radiusMm / scaleFactor).toBeCloseTo(displacementMm, 9);
  });

  it('shrinks by the height of the reference itself, and turns round for a reference above the fabric', () => {
    const fabric = { thicknessMm: 2, layers: 1, walePitchMm: 3 } as const;
    const mat = parallaxOf(fabric, { cameraHeightMm: camera(300), referenceHeightMm: 0 });
    const card = parallaxOf(fabric, { cameraHeightMm: camera(300), referenceHeightMm: 0.76 });
    const box = parallaxOf(fabric, { cameraHeightMm: camera(300), referenceHeightMm: 10 });
    expect(mat.scaleFactor).toBeGreaterThan(card.scaleFactor);
    expect(card.scaleFactor).toBeGreaterThan(1);
    expect(box.scaleFactor).toBeLessThan(1);
    expect(mat.heightMm - card.heightMm).toBeCloseTo(0.76, 12);
    expect(box.note).toContain('smaller');
  });

  it('corrects nothing and carries the doubt when the camera distance is unknown', () => {
    const result = parallaxOf(
      { thicknessMm: null, layers: 1, walePitchMm: 3.2 },
      { cameraHeightMm: null, referenceHeightMm: 0 },
    );
    expect(result.scaleFactor).toBe(1);
    expect(result.relativeUncertainty).toBeGreaterThan(result.heightMm / 250);
    expect(result.note).toContain('not known');
  });

  it('propagates the uncertainty of height and distance as numerical differences do', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 6, noNaN: true }),
        fc.double({ min: 100, max: 600, noNaN: true }),
        (thicknessMm, distance) => {
          const factor = (t: number, d: number): number =>
            parallaxOf(
              { thicknessMm: t, layers: 1, walePitchMm: 3 },
              { cameraHeightMm: camera(d), referenceHeightMm: 0 },
            ).scaleFactor;
          const u = { camera: 0.05 * distance, thickness: Math.max(0.2, 0.1 * thicknessMm) };
          const base = factor(thicknessMm, distance);
          const perCamera = (factor(thicknessMm, distance * 1.0001) - base) / (distance * 0.0001);
          const perThickness = (factor(thicknessMm + 1e-4, distance) - base) / 1e-4;
          const expected = Math.hypot(perCamera * u.camera, (perThickness * u.thickness) / 0.77) / base;
          const { relativeUncertainty } = parallaxOf(
            { thicknessMm, layers: 1, walePitchMm: 3 },
            { cameraHeightMm: camera(distance, u.camera), referenceHeightMm: 0 },
          );
          expect(relativeUncertainty / expected).toBeCloseTo(1, 2);
        },
      ),
    );
  });

  it('stays finite for a fabric thicker than the camera is high', () => {
    const result = parallaxOf(
      { thicknessMm: 500, layers: 1, walePitchMm: 3 },
      { cameraHeightMm: camera(100), referenceHeightMm: 0 },
    );
    expect(result.scaleFactor).toBe(2);
  });
});
