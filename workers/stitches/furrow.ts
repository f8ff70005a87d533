import type { UnitProfile } from './unitColumns';

/**
 * What stands between the knit columns: nothing that shows (a closed rib hides its purl columns), the bare strands of empty needles, purl columns, or what
 * may be either.
 */
export type FurrowKind = 'closed' | 'ladder' | 'purl' | 'unclear';

/** What stands in a furrow, and how many needle positions that is. */
export interface Furrow {
  readonly kind: FurrowKind;
  readonly needles: number;
}

/** Where a furrow runs across a profile, which goes on from its start at its end. */
export interface FurrowPlace {
  readonly from: number;
  readonly to: number;
  /** Width of a knit column on the same scale. */
  readonly columnWidth: number;
  /** 1 where the lean of a knit column runs from plus to minus, −1 where it runs the other way. */
  readonly knitSign: number;
}

/** A furrow narrower than so many columns hides what it holds. */
const closedBelow = 0.12;
/** One this wide has room for an empty needle: gaps close up by a quarter of a column or so. */
const roomForNeedle = 0.45;
/** Where the yarn of a narrower one runs so clearly along the course, legs beside a blurred ladder were taken for wider than they are. */
const clearStrands = -0.5;
/** Purl columns are drawn in, seldom to less than so many knit columns. */
const leastPurl = 0.3;
/** Most purl columns side by side that are looked for. */
const mostPurls = 3;
/** How far the edges of a furrow may be off, in columns. */
const edgeShifts = [-0.15, -0.1, -0.05, 0, 0.05, 0.1, 0.15] as const;

/** Arcs lean at least this much, and the strands of a ladder at most that, less what steep yarn adds: measured on drawn fabric. */
const arcsFrom = 0.35;
const strandsBelow = 0.31;
const steepShare = 0.2;
/** Yarn of a ladder leans less than this on average, whichever way: its strands run straight. */
const strandsLeanBelow = 0.33;

/**
 * Tells a ladder from purl columns. The bare strands of an empty needle run straight along the course: they lean nowhere. Each purl column shows arcs, which
 * lean one way on its left and the other on its right, against the legs of a knit stitch; as many waves of lean run across the furrow as it has columns.
 */
export const furrowIn = (profile: UnitProfile, place: FurrowPlace): Furrow => {
  const width = (place.to - place.from) / place.columnWidth;
  if (width < closedBelow) return { kind: 'closed', needles: 0 };
  const hasRoom = width >= roomForNeedle;
  const most = Math.max(1, Math.min(mostPurls, Math.floor(width / leastPurl)));
  const waves = Array.from({ length: most }, (_, i) => ({
    count: i + 1,
    ...bestWave(profile, place, i + 1),
  }));
  const [clearest] = waves.sort((a, b) => b.explained - a.explained);
  const steep = meanOver(profile.steep, place.from, place.to);
  const arcs = (clearest?.lean ?? 0) + steepShare * steep;
  if (clearest !== undefined && arcs > arcsFrom) return { kind: 'purl', needles: clearest.count };
  const needles = Math.max(1, Math.round(width));
  const straight = arcs < strandsBelow && leanOver(profile, place) < strandsLeanBelow;
  if (straight && (hasRoom || steep < clearStrands)) return { kind: 'ladder', needles };
  return hasRoom ? { kind: 'unclear', needles } : { kind: 'closed', needles: 0 };
};

interface Wave {
  /** How far the yarn leans against the legs of a knit column. */
  readonly lean: number;
  /** Share of all lean in the furrow that the waves explain. */
  readonly explained: number;
}

/** So many waves of lean side by side, wherever about the furrow they explain most; none where the lean is that of knit legs. */
const bestWave = (profile: UnitProfile, place: FurrowPlace, count: number): Wave => {
  let best: Wave = { lean: 0, explained: 0 };
  const mean = meanOver(profile.lean, 0, profile.lean.length);
  for (const shift of edgeShifts) {
    const from = place.from - shift * place.columnWidth;
    const to = place.to + shift * place.columnWidth;
    if (to - from < leastPurl * count * place.columnWidth) continue;
    const wave = waveIn(profile.lean, from, to, count, mean);
    const lean = -place.knitSign * wave.lean;
    if (lean > 0 && wave.explained > best.explained) best = { lean, explained: wave.explained };
  }
  return best;
};

const waveIn = (values: readonly number[], from: number, to: number, count: number, mean: number): Wave => {
  let sum = 0;
  let norm = 0;
  let energy = 0;
  for (let x = Math.ceil(from); x < to; x++) {
    const value = around(values, x) - mean;
    const wave = Math.sin((2 * Math.PI * count * (x + 0.5 - from)) / (to - from));
    sum += value * wave;
    norm += wave * wave;
    energy += value * value;
  }
  return { lean: sum / (norm + 1e-9), explained: sum ** 2 / (norm * energy + 1e-9) };
};

/** How much the yarn of the furrow leans on average, whichever way. */
const leanOver = ({ lean }: UnitProfile, { from, to }: FurrowPlace): number => {
  const mean = meanOver(lean, 0, lean.length);
  return meanOver(
    lean.map((v) => Math.abs(v - mean)),
    from,
    to,
  );
};

const meanOver = (values: readonly number[], from: number, to: number): number => {
  let sum = 0;
  let count = 0;
  for (let x = Math.ceil(from); x < to; x++, count++) sum += around(values, x);
  return sum / Math.max(1, count);
};

const around = (values: readonly number[], x: number): number =>
  values[((x % values.length) + values.length) % values.length] as number;
