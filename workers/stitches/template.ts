import type { GreyImage } from '../image';
import { scope } from '../opencv';
import { parabolaShift, type Vec } from './raster';
import { cellPx } from './rectify';

/** Size of a learnt picture of a stitch, px. */
export interface TemplateSize {
  readonly width: number;
  readonly height: number;
}

/** Two pitches each way, so that the neighbours help to place a stitch: for fabric that is the same all over. */
export const wideTemplate: TemplateSize = { width: 2 * cellPx.width, height: 2 * cellPx.height };
/** Four pitches each way: for fabric whose own pattern drowns single stitches (marl); many together still tell. */
export const broadTemplate: TemplateSize = { width: 4 * cellPx.width, height: 4 * cellPx.height };
/** One wale wide: for fabric whose columns have different neighbours (ribs, needles out). */
export const narrowTemplate: TemplateSize = { width: cellPx.width, height: 2 * cellPx.height };

/** Several pictures of one size, treated as one picture with several values in each pixel. */
export interface Channels {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Interleaved values, row by row. */
  readonly data: Float32Array;
  readonly count: number;
}

export const interleave = (channels: readonly GreyImage[], weights: readonly number[]): Channels => {
  const first = channels[0];
  if (first === undefined) throw new Error('There must be at least one channel.');
  const { widthPx, heightPx } = first;
  const count = channels.length;
  const data = new Float32Array(widthPx * heightPx * count);
  for (const [c, channel] of channels.entries()) {
    const weight = weights[c] as number;
    const from = channel.data;
    for (let i = 0, k = c; i < from.length; i++, k += count) data[k] = weight * (from[i] as number);
  }
  return { widthPx, heightPx, data, count };
};

/**
 * Correlation coefficient, −1 to 1, of the template laid at every place; the value at a pixel is that of the template centred on the
 * pixel's top-left corner. Places where it would stick out get −1.
 */
export const match = (image: Channels, template: Channels): GreyImage =>
  image.widthPx < template.widthPx || image.heightPx < template.heightPx
    ? nowhere(image)
    : matchWithin(image, template);

const nowhere = ({ widthPx, heightPx }: Channels): GreyImage => ({
  widthPx,
  heightPx,
  data: new Float32Array(widthPx * heightPx).fill(-1),
});

const matchWithin = (image: Channels, template: Channels): GreyImage =>
  scope((track, cv) => {
    const type = image.count === 1 ? cv.CV_32FC1 : image.count === 2 ? cv.CV_32FC2 : cv.CV_32FC3;
    const picture = track(new cv.Mat(image.heightPx, image.widthPx, type));
    picture.data32F.set(image.data);
    const patch = track(new cv.Mat(template.heightPx, template.widthPx, type));
    patch.data32F.set(template.data);
    const result = track(new cv.Mat());
    cv.matchTemplate(picture, patch, result, cv.TM_CCOEFF_NORMED);
    const out = nowhere(image);
    const left = template.widthPx / 2;
    const top = template.heightPx / 2;
    for (let y = 0; y < result.rows; y++) {
      const row = result.data32F.subarray(y * result.cols, (y + 1) * result.cols);
      out.data.set(row, (y + top) * image.widthPx + left);
    }
    return out;
  });

/** Mean of the patches around the given places (rounded to whole pixels). Places too near the border are left out. */
export const averagePatch = (image: Channels, places: readonly Vec[], size: TemplateSize): Channels => {
  const { width, height } = size;
  const sum = new Float32Array(width * height * image.count);
  let used = 0;
  for (const place of places) {
    const x0 = Math.round(place.x) - width / 2;
    const y0 = Math.round(place.y) - height / 2;
    if (x0 < 0 || y0 < 0 || x0 + width > image.widthPx || y0 + height > image.heightPx) continue;
    used++;
    for (let y = 0; y < height; y++) {
      const from = ((y0 + y) * image.widthPx + x0) * image.count;
      const to = y * width * image.count;
      for (let i = 0; i < width * image.count; i++)
        sum[to + i] = (sum[to + i] as number) + (image.data[from + i] as number);
    }
  }
  if (used > 0) for (let i = 0; i < sum.length; i++) sum[i] = (sum[i] as number) / used;
  return { widthPx: width, heightPx: height, data: sum, count: image.count };
};

export interface Snapped extends Vec {
  readonly score: number;
}

/** Highest response within a quarter pitch of a predicted place, sub-pixel; nearer places are preferred a little. */
export const snap = (response: GreyImage, place: Vec, share = 0.25): Snapped => {
  const { widthPx: w, heightPx: h, data } = response;
  const rx = cellPx.width * share;
  const ry = cellPx.height * share;
  const x0 = Math.max(1, Math.round(place.x - rx));
  const x1 = Math.min(w - 2, Math.round(place.x + rx));
  const y0 = Math.max(1, Math.round(place.y - ry));
  const y1 = Math.min(h - 2, Math.round(place.y + ry));
  let best = -9;
  let bx = -1;
  let by = -1;
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const dx = (x - place.x) / cellPx.width;
      const dy = (y - place.y) / cellPx.height;
      const value = (data[y * w + x] as number) - 1.2 * (dx * dx + dy * dy);
      if (value > best) {
        best = value;
        bx = x;
        by = y;
      }
    }
  }
  if (bx < 0) return { x: place.x, y: place.y, score: -1 };
  const k = by * w + bx;
  return {
    x: bx + parabolaShift(data[k - 1] as number, data[k] as number, data[k + 1] as number),
    y: by + parabolaShift(data[k - w] as number, data[k] as number, data[k + w] as number),
    score: data[k] as number,
  };
};

/** How far around the seed the stitch is learnt, in cells, round by round. */
const rounds = [2, 3, 5, 7] as const;
/** Cells beyond that which a drifting lattice and half a template reach into. */
const beyondRound = 2;

/**
 * Lets the fabric teach its own stitch: starts from one patch, finds its likes on the lattice around, averages them, looks again from
 * a little farther out. Four rounds; each doubles what it has seen.
 * @param seed Where to start, in the straightened picture.
 */
export const learnTemplate = (whole: Channels, seed: Vec, size: TemplateSize): Channels => {
  const start = { x: Math.round(seed.x), y: Math.round(seed.y) };
  let places: readonly Vec[] = [start];
  let template = averagePatch(whole, places, size);
  for (const radius of rounds) {
    const reach = radius + beyondRound;
    const { part, origin } = cut(whole, start, reach * cellPx.width, reach * cellPx.height);
    const response = match(part, template);
    const found: Snapped[] = [];
    for (let m = -radius; m <= radius; m++) {
      for (let n = -radius; n <= radius; n++) {
        const guess = nearestKnown({ x: start.x + n * cellPx.width, y: start.y + m * cellPx.height }, places);
        const { x, y, score } = snap(response, { x: guess.x - origin.x, y: guess.y - origin.y }, 0.25);
        found.push({ x: x + origin.x, y: y + origin.y, score });
      }
    }
    const scores = found.map((f) => f.score).sort((p, q) => q - p);
    const floor = Math.max(0.15, 0.5 * (scores[Math.floor(scores.length / 4)] as number));
    const kept = found.filter((f) => f.score >= floor);
    if (kept.length < 4) break;
    places = kept;
    template = averagePatch(whole, places, size);
  }
  return template;
};

/** A part of a picture around a place, as far as it goes within the picture. */
export const cut = (
  image: Channels,
  middle: Vec,
  reachX: number,
  reachY: number,
): { part: Channels; origin: Vec } => {
  const x0 = Math.max(0, Math.round(middle.x) - reachX);
  const y0 = Math.max(0, Math.round(middle.y) - reachY);
  const widthPx = Math.max(1, Math.min(image.widthPx, Math.round(middle.x) + reachX) - x0);
  const heightPx = Math.max(1, Math.min(image.heightPx, Math.round(middle.y) + reachY) - y0);
  const data = new Float32Array(widthPx * heightPx * image.count);
  for (let y = 0; y < heightPx; y++) {
    const from = ((y0 + y) * image.widthPx + x0) * image.count;
    data.set(image.data.subarray(from, from + widthPx * image.count), y * widthPx * image.count);
  }
  return { part: { widthPx, heightPx, data, count: image.count }, origin: { x: x0, y: y0 } };
};

/** Shifts a guess by what the nearest place already found says about the lattice's drift there. */
const nearestKnown = (guess: Vec, places: readonly Vec[]): Vec => {
  let best = Number.POSITIVE_INFINITY;
  let shifted = guess;
  for (const p of places) {
    const n = Math.round((guess.x - p.x) / cellPx.width);
    const m = Math.round((guess.y - p.y) / cellPx.height);
    const distance = n * n + m * m;
    if (distance >= best) continue;
    best = distance;
    shifted = { x: p.x + n * cellPx.width, y: p.y + m * cellPx.height };
  }
  return shifted;
};
