import type { PhotoPoint } from '../../src/domain/coordinates';
import type { RgbaImage, WorkImage } from '../image';

type Span = readonly [from: number, to: number];

/** Columns of row `y` whose centres lie inside the polygon (even-odd rule), as half-open spans. */
const spansOf = (polygon: readonly { x: number; y: number }[], y: number, widthPx: number): Span[] => {
  const crossings = polygon
    .flatMap((a, i) => {
      const b = polygon[(i + 1) % polygon.length] ?? a;
      return a.y <= y === b.y <= y ? [] : [a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)];
    })
    .sort((a, b) => a - b);
  const spans: Span[] = [];
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    const from = Math.max(0, Math.ceil((crossings[i] as number) - 0.5));
    const to = Math.min(widthPx, Math.ceil((crossings[i + 1] as number) - 0.5));
    if (to > from) spans.push([from, to]);
  }
  return spans;
};

const meanColour = ({ widthPx, data }: RgbaImage, rows: readonly (readonly Span[])[]): number[] => {
  const sum = [0, 0, 0];
  let count = 0;
  rows.forEach((spans, y) => {
    for (const [from, to] of spans) {
      count += to - from;
      for (let p = 4 * (y * widthPx + from); p < 4 * (y * widthPx + to); p += 4) {
        for (let channel = 0; channel < 3; channel += 1) {
          sum[channel] = (sum[channel] as number) + (data[p + channel] as number);
        }
      }
    }
  });
  return sum.map((value) => (count === 0 ? 128 : value / count));
};

/**
 * The work image with everything outside a polygon (photo px) painted flat in the mean colour of the inside, so that nothing out there can be
 * taken for fabric. Places and sizes stay as they are.
 */
export const onlyRegion = (
  { image, photoPxPerWorkPx }: WorkImage,
  region: readonly PhotoPoint[],
): WorkImage => {
  const { widthPx, heightPx } = image;
  const polygon = region.map(({ x, y }) => ({ x: x / photoPxPerWorkPx, y: y / photoPxPerWorkPx }));
  const rows = Array.from({ length: heightPx }, (_, y) => spansOf(polygon, y + 0.5, widthPx));
  const colour = meanColour(image, rows);
  const data = new Uint8ClampedArray(image.data.length);
  new Uint32Array(data.buffer).fill(new Uint32Array(Uint8ClampedArray.of(...colour, 255).buffer)[0] ?? 0);
  rows.forEach((spans, y) => {
    for (const [from, to] of spans) {
      const at = 4 * y * widthPx;
      data.set(image.data.subarray(at + 4 * from, at + 4 * to), at + 4 * from);
    }
  });
  return { image: { widthPx, heightPx, data }, photoPxPerWorkPx };
};
