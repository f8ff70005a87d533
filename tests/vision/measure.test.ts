import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { gaugeOf } from '../../src/domain/gaugeOf';
import type { Measurement } from '../../src/domain/measurement';
import type { MeasureHints } from '../../workers/contract';
import { measure } from '../../workers/measure';
import { opencvReady } from '../../workers/opencv';
import { openBytes, openSample, sampleBytes, sampleTruth } from '../builders/photos';

const inch: MeasureHints = { gridPitchMm: 25.4, reference: 'auto', region: null, thicknessMm: null };

const measured = async (name: string, hints: MeasureHints): Promise<Measurement> => {
  const { work, facts } = await openSample(name);
  return measure(work, facts, hints);
};

const perInchIn = ({ stitches, references, chosenReference }: Measurement) => {
  const plane = references[chosenReference ?? -1]?.plane;
  if (!plane || !stitches.grid || !stitches.window) throw new Error('There is nothing to reckon with.');
  const found = gaugeOf(stitches.grid, stitches.window, plane, { thicknessMm: null, layers: 1 });
  if (!found.ok) throw new Error(found.sentence);
  return {
    stitches: found.gauge.walesPerMm.value * 25.4,
    rows: found.gauge.coursesPerMm.value * 25.4,
  };
};

describe('the whole pipeline', () => {
  beforeAll(() => opencvReady());

  it.each([
    ['rose-purl-inch-mat', 25.4],
    ['thick-yarn-cm-mat', 10],
    ['charcoal-pale-inch-mat', 25.4],
  ])('reads %s within one per cent, nothing touched by hand', async (name, gridPitchMm) => {
    const { gauge } = sampleTruth(name);
    const found = perInchIn(await measured(name, { ...inch, gridPitchMm }));
    expect(Math.abs(found.stitches / gauge.stitches_per_inch - 1)).toBeLessThan(0.01);
    expect(Math.abs(found.rows / gauge.rows_per_inch - 1)).toBeLessThan(0.01);
  });

  it('finds the same gauge when the photo is turned on its side', async () => {
    const upright = perInchIn(await measured('oatmeal-inch-mat', inch));
    const turned = await sharp(sampleBytes('oatmeal-inch-mat')).rotate(90).jpeg({ quality: 95 }).toBuffer();
    const { work, facts } = await openBytes(turned);
    const found = perInchIn(measure(work, facts, inch));
    const [low, high] = [found.stitches, found.rows].sort((a, b) => a - b);
    expect(Math.abs(low! / upright.stitches - 1)).toBeLessThan(0.005);
    expect(Math.abs(high! / upright.rows - 1)).toBeLessThan(0.005);
  });

  it('takes no millimetres from a grid whose spacing nobody has said', async () => {
    const found = await measured('oatmeal-inch-mat', { ...inch, gridPitchMm: null });
    expect(found.chosenReference).toBeNull();
    expect(found.references[0]).toMatchObject({ kind: 'grid', question: 'gridPitch', plane: null });
    expect(found.stitches.pitchPx).not.toBeNull();
  });

  it('looks for no reference when told so', async () => {
    const found = await measured('oatmeal-inch-mat', { ...inch, reference: 'none' });
    expect(found.references).toEqual([]);
    expect(found.chosenReference).toBeNull();
  });

  it('keeps to the region it was given', async () => {
    const corners: [number, number][] = [
      [700, 500],
      [1300, 500],
      [1300, 1000],
      [700, 1000],
    ];
    const region = corners.map(([x, y]) => photoPoint(x, y));
    const { stitches } = await measured('oatmeal-inch-mat', { ...inch, region });
    expect(stitches.grid!.wales.length).toBeGreaterThan(10);
    const slack = 1.5 * stitches.pitchPx!.wale;
    for (const { points } of stitches.grid!.wales) {
      for (const { x, y } of points) {
        expect(x).toBeGreaterThan(700 - slack);
        expect(x).toBeLessThan(1300 + slack);
        expect(y).toBeGreaterThan(500 - slack);
        expect(y).toBeLessThan(1000 + slack);
      }
    }
  });
});
