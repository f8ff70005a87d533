import { beforeAll, describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { RgbaImage } from '../../workers/image';
import { opencvReady, scope } from '../../workers/opencv';
import { findStitches, growFromSeeds } from '../../workers/stitches/findStitches';
import { distanceToLine, drawnKnit, fixturePhoto, fixtureTruth } from './stitchesSupport';

const find = (image: RgbaImage, region: Parameters<typeof findStitches>[1]['region'] = null): StitchFinding =>
  findStitches({ image, photoPxPerWorkPx: 1 }, { region });

/** The photos are seen from aside and the counted window may begin a line earlier or later: that moves the mean pitch by a few parts in a thousand. */
const expectPitch = (finding: StitchFinding, wale: number, course: number, share = 0.006): void => {
  expect(finding.pitchPx).not.toBeNull();
  expect(Math.abs(finding.pitchPx!.wale / wale - 1)).toBeLessThan(share);
  expect(Math.abs(finding.pitchPx!.course / course - 1)).toBeLessThan(share);
};

/** How far the lines lie from the nearest true line at their middles, as a share of the pitch: the middle value. */
const medianMiss = (
  lines: StitchFinding['grid'] extends infer G ? (G extends { wales: infer L } ? L : never) : never,
  truth: Parameters<typeof distanceToLine>[1][],
  pitch: number,
): number => {
  const misses = lines
    .map((line) => line.points[line.points.length >> 1]!)
    .map((p) => Math.min(...truth.map((t) => distanceToLine(p, t))) / pitch)
    .sort((a, b) => a - b);
  return misses[misses.length >> 1]!;
};

/** The picture in the middle of plain weave, twice as wide and high: two threads over and under each other, aslant, drawn in code. */
const onWeave = ({ widthPx, heightPx, data }: RgbaImage): RgbaImage => {
  const [w, h] = [2 * widthPx, 2 * heightPx];
  const [left, top] = [widthPx >> 1, heightPx >> 1];
  const out = new Uint8ClampedArray(4 * w * h).fill(255);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const [u, v] = [(0.85 * x + 0.5 * y) / 4.2, (0.85 * y - 0.5 * x) / 4.2];
      const over = (Math.floor(u) + Math.floor(v)) % 2 === 0;
      const round = Math.abs(Math.sin(Math.PI * (over ? u : v)));
      out.fill(60 + 90 * round, 4 * (y * w + x), 4 * (y * w + x) + 3);
    }
  }
  for (let y = 0; y < heightPx; y++)
    out.set(data.subarray(4 * y * widthPx, 4 * (y + 1) * widthPx), 4 * ((top + y) * w + left));
  return { widthPx: w, heightPx: h, data: out };
};

describe('the stitch grid of a photo, untouched by hand', () => {
  beforeAll(opencvReady);

  for (const name of ['knit-oatmeal', 'purl-rose']) {
    it(`has the pitch, the face and the lines of ${name}, rendered stitch by stitch`, async () => {
      const truth = fixtureTruth(name);
      const finding = find(await fixturePhoto(name));
      expect(finding.confidence).toMatchObject({ status: 'measured', reasons: [] });
      expect(finding.face).toBe(truth.face);
      expectPitch(finding, truth.needlePitchPx, truth.coursePitchPx);
      // The outermost wale on either side rolls under and may or may not be read.
      expect(Math.abs(finding.grid!.wales.length - (truth.walesInSwatch - 1))).toBeLessThanOrEqual(1);
      expect(Math.abs(finding.grid!.courses.length - truth.coursesInSwatch)).toBeLessThanOrEqual(1);
      expect(medianMiss(finding.grid!.wales, [...truth.wales], truth.needlePitchPx)).toBeLessThan(0.1);
      expect(medianMiss(finding.grid!.courses, [...truth.courses], truth.coursePitchPx)).toBeLessThan(0.1);
    });
  }

  it('marks the empty needles of a mock rib as gaps, counts the stitches without them, and asks for a check', async () => {
    const truth = fixtureTruth('mock-rib-mustard');
    const finding = find(await fixturePhoto('mock-rib-mustard'));
    expect(finding.grid!.wales.filter((line) => line.kind === 'needleGap')).toHaveLength(truth.gaps);
    // Every fourth needle is out: three stitches to four needles. The columns stand above the gaps and look a little larger.
    expectPitch(finding, (truth.needlePitchPx * 4) / 3, truth.coursePitchPx, 0.015);
    expect(finding.confidence.status).toBe('proposal');
    expect(finding.confidence.reasons.join(' ')).toContain('empty needle positions');
  });

  it('keeps its pitch when the photo is turned by 25°, darkened, and saved as a poor JPEG', async () => {
    const truth = fixtureTruth('knit-oatmeal');
    const turned = await fixturePhoto('knit-oatmeal', (p) => p.rotate(25, { background: '#596459' }));
    expectPitch(find(turned), truth.needlePitchPx, truth.coursePitchPx, 0.01);
    const dark = await fixturePhoto('knit-oatmeal', (p) => p.linear(0.3, 0));
    expectPitch(find(dark), truth.needlePitchPx, truth.coursePitchPx, 0.01);
  });

  it('is read under a mask as well where nothing lies beside it: its own outline may have passed for a card’s', async () => {
    const truth = fixtureTruth('knit-oatmeal');
    const image = await fixturePhoto('knit-oatmeal');
    const { widthPx: w, heightPx: h } = image;
    const all = [photoPoint(0, 0), photoPoint(w, 0), photoPoint(w, h), photoPoint(0, h)];
    const finding = findStitches({ image, photoPxPerWorkPx: 1 }, { region: null, maskOut: [all] });
    expect(finding.confidence.status).toBe('measured');
    expectPitch(finding, truth.needlePitchPx, truth.coursePitchPx);
  });

  it('is read on a woven ground that fills the rest of the photo and repeats more than the swatch', async () => {
    const truth = fixtureTruth('purl-rose');
    const finding = find(onWeave(await fixturePhoto('purl-rose')));
    expect(finding.face).toBe(truth.face);
    expectPitch(finding, truth.needlePitchPx, truth.coursePitchPx);
  });

  it('runs from left to right and from top to bottom', async () => {
    const { grid } = find(await fixturePhoto('purl-rose'));
    const middles = (lines: typeof grid extends null ? never : NonNullable<typeof grid>['wales']) =>
      lines.map((line) => line.points[line.points.length >> 1]!);
    const xs = middles(grid!.wales).map((p) => p.x);
    const ys = middles(grid!.courses).map((p) => p.y);
    expect(xs).toEqual([...xs].sort((a, b) => a - b));
    expect(ys).toEqual([...ys].sort((a, b) => a - b));
    expect(new Set(grid!.wales.map((line) => line.id)).size).toBe(grid!.wales.length);
  });

  it('stays inside a region that the user drew', async () => {
    const region = [photoPoint(380, 220), photoPoint(640, 220), photoPoint(640, 520), photoPoint(380, 520)];
    const { grid } = find(await fixturePhoto('knit-oatmeal'), region);
    for (const line of grid!.wales) {
      for (const p of line.points) {
        // A line may end half a stitch outside: stitches are kept or dropped whole.
        expect(p.x).toBeGreaterThan(368);
        expect(p.x).toBeLessThan(652);
      }
    }
  });

  it('grows from two tapped columns and rows where tapping is all there is', async () => {
    const truth = fixtureTruth('knit-oatmeal');
    const image = await fixturePhoto('knit-oatmeal');
    const at = (w: number, c: number) => {
      const [x, y] = truth.wales[w]![c]!;
      return photoPoint(x, y);
    };
    const seed = at(14, 4);
    const finding = growFromSeeds(
      { image, photoPxPerWorkPx: 1 },
      {
        wales: [seed, photoPoint(seed.x + truth.needlePitchPx, seed.y)],
        courses: [seed, photoPoint(seed.x, seed.y - truth.coursePitchPx)],
      },
    );
    expectPitch(finding, truth.needlePitchPx, truth.coursePitchPx, 0.01);
  });

  it('is not claimed where there is no knitting', () => {
    const grain = drawnKnit(400, 300, { x: 1e6, y: 0 }, { x: 0, y: 1e6 });
    let state = 3;
    for (let k = 0; k < grain.data.length; k++) {
      state = (state * 1664525 + 1013904223) >>> 0;
      if (k % 4 !== 3) grain.data[k] = 100 + (state >>> 26);
    }
    const finding = find(grain);
    expect(finding.confidence.status).not.toBe('measured');
    expect(finding.confidence.reasons.length).toBeGreaterThan(0);
  });

  it('leaves nothing of OpenCV behind: a dozen runs fit where one does', async () => {
    const image = await fixturePhoto('knit-oatmeal', (p) => p.resize(700));
    find(image);
    const heap = (): number => scope((_, cv) => (cv as unknown as { HEAPU8: Uint8Array }).HEAPU8.length);
    const before = heap();
    for (let i = 0; i < 12; i++) find(image);
    expect(heap()).toBe(before);
  });
});
