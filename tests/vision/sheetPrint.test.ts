import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { paperSize } from '../../src/domain/paper';
import { checkLengthMm, checkRulers, frameOrigin, type SheetPaper } from '../../src/domain/referenceSheet';
import { sheetPdf } from '../../src/domain/sheetPdf';
import { sheetSvg } from '../../src/domain/sheetSvg';
import { opencvReady } from '../../workers/opencv';
import { readMarks } from '../../workers/scale/sheetMarks';

const DPI = 600;
const PX_PER_MM = DPI / 25.4;

interface Raster {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Buffer;
}

let folder = '';
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sheet-'));
  await opencvReady();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const greyOf = async (png: Buffer | string): Promise<Raster> => {
  const { data, info } = await sharp(png, { limitInputPixels: false })
    .flatten({ background: '#fff' })
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { widthPx: info.width, heightPx: info.height, data };
};

/** The sheet as an independent renderer (poppler's pdftoppm) draws it. */
const printedPdf = (paper: SheetPaper): Promise<Raster> => {
  const pdf = join(folder, `${paper}.pdf`);
  writeFileSync(pdf, sheetPdf(paper), 'latin1');
  execFileSync('pdftoppm', ['-r', String(DPI), '-gray', '-png', '-singlefile', pdf, join(folder, paper)]);
  return greyOf(join(folder, `${paper}.png`));
};

/** The sheet's SVG as an independent renderer (librsvg, in sharp) draws it, at the same number of pixels to the mm. */
const printedSvg = async (paper: SheetPaper): Promise<Raster> => {
  const svg = sheetSvg(paper);
  expect(svg).toContain(paper === 'A4' ? 'width="210mm" height="297mm"' : 'width="215.9mm" height="279.4mm"');
  const width = Math.round(paperSize(paper).shortMm * PX_PER_MM);
  return greyOf(await sharp(Buffer.from(svg), { density: 208 }).resize({ width }).png().toBuffer());
};

/** Centres of the dark runs along a line of pixels, px. */
const darkMiddles = (values: readonly number[]): number[] => {
  const middles: number[] = [];
  let weight = 0;
  let moment = 0;
  values.forEach((value, i) => {
    const ink = 255 - value;
    if (ink > 20) {
      weight += ink;
      moment += ink * (i + 0.5);
    } else if (weight > 0) {
      middles.push(moment / weight);
      weight = 0;
      moment = 0;
    }
  });
  return middles;
};

/** Length from the first to the last mark of a check ruler, measured on a line beside it that only its long end marks reach, mm. */
const rulerOn = (raster: Raster, paper: SheetPaper, direction: 'across' | 'along'): number => {
  const origin = frameOrigin(paper);
  const { from } = checkRulers[direction];
  const besideMm = 1.8;
  const startMm = 6;
  const at = (alongPx: number, fixedPx: number): number => {
    const [x, y] = direction === 'across' ? [alongPx, fixedPx] : [fixedPx, alongPx];
    return raster.data[y * raster.widthPx + x]!;
  };
  const fixedMm =
    direction === 'across' ? origin.yMm + from.yMm - besideMm : origin.xMm + from.xMm - besideMm;
  const firstMm = direction === 'across' ? origin.xMm + from.xMm : origin.yMm + from.yMm;
  const first = Math.round((firstMm - startMm / 2) * PX_PER_MM);
  const count = Math.round((checkLengthMm + startMm) * PX_PER_MM);
  const line = Array.from({ length: count }, (_, i) => at(first + i, Math.round(fixedMm * PX_PER_MM)));
  const middles = darkMiddles(line);
  expect(middles).toHaveLength(2);
  return (middles[1]! - middles[0]!) / PX_PER_MM;
};

describe.each(['A4', 'Letter'] as const)('the printed sheet on %s', (paper) => {
  it.each([
    ['PDF', printedPdf],
    ['SVG', printedSvg],
  ] as const)('is a %s of true size: page and both check rulers', async (_, render) => {
    const raster = await render(paper);
    // ISO 216 for A4; the trade size of 8.5 × 11 in for Letter.
    const [widthMm, heightMm] = paper === 'A4' ? [210, 297] : [215.9, 279.4];
    expect(Math.abs(raster.widthPx - widthMm * PX_PER_MM)).toBeLessThan(1.5);
    expect(Math.abs(raster.heightPx - heightMm * PX_PER_MM)).toBeLessThan(1.5);
    // Renderers put thin lines on whole pixels: one pixel at 600 dpi is 0.03 % of the ruler.
    expect(Math.abs(rulerOn(raster, paper, 'across') / 140 - 1)).toBeLessThan(0.0003);
    expect(Math.abs(rulerOn(raster, paper, 'along') / 140 - 1)).toBeLessThan(0.0003);
  });

  it('shows all its marks and leaves the borders free that printers cannot reach', async () => {
    const raster = await printedPdf(paper);
    const small = await sharp(raster.data, {
      raw: { width: raster.widthPx, height: raster.heightPx, channels: 1 },
    })
      .resize(1000)
      .raw()
      .toBuffer({ resolveWithObject: true });
    const { width, height, channels } = small.info;
    const grey = Float32Array.from({ length: width * height }, (_, i) => small.data[channels * i]!);
    const ids = readMarks({ widthPx: width, heightPx: height, data: grey }).map(({ id }) => id);
    expect(ids.sort((a, b) => a - b)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    const freePx = Math.floor(10 * PX_PER_MM);
    let ink = 0;
    for (let y = 0; y < raster.heightPx; y++) {
      for (let x = 0; x < raster.widthPx; x++) {
        const near = Math.min(x, y, raster.widthPx - 1 - x, raster.heightPx - 1 - y);
        if (near < freePx && raster.data[y * raster.widthPx + x]! < 250) ink += 1;
      }
    }
    expect(ink).toBe(0);
  });
});
