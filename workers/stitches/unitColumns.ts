import { parabolaShift } from './raster';

/** Where a knit column stands within a repeat, as a share of the repeat's width, and whether it is an empty needle position instead. */
export interface UnitColumn {
  readonly offset: number;
  readonly gap: boolean;
}

/** How wide a knit column may be, in courses: common practice for plain knitting is 1.2 to 1.55, ribs draw it in, gaps let it spread. */
const widths = { least: 0.9, most: 1.9, step: 0.05 } as const;
/** Two columns stand at least this share of a column's width apart. */
const leastApart = 0.8;
/** A column whose legs lean less than this share of the clearest one's is none. */
const clearShare = 0.5;
/** An empty place wider than so many column distances holds a needle position without a wale. */
const gapFrom = 1.45;

/**
 * Finds the knit columns in one repeat of a rib or of a fabric with needles out.
 * @param lean Mean lean of the yarn over the repeat's width (sin 2θ of the gradient, the same at both ends): across each knit column it runs
 * through one sine wave that crosses zero upwards in the column's middle.
 * @param coursePx Height of a course on the same scale.
 * @returns The columns from the first knit one to the next repeat's, with the empty needle positions between them; none without legs.
 */
export const unitColumns = (lean: readonly number[], coursePx: number): UnitColumn[] => {
  let best: { peaks: Peak[]; energy: number; width: number } | null = null;
  for (let w = widths.least; w <= widths.most + 1e-9; w += widths.step) {
    const width = w * coursePx;
    if (width > lean.length) break;
    const peaks = strongest(waves(lean, width), leastApart * width);
    const energy = peaks.reduce((sum, p) => sum + p.value ** 2, 0);
    if (best === null || energy > best.energy) best = { peaks, energy, width };
  }
  return best === null ? [] : withGaps(best.peaks, lean.length, best.width);
};

interface Peak {
  readonly at: number;
  readonly value: number;
}

/** How strongly one sine wave of the given width stands around each place, wrapped round the ends. */
const waves = (lean: readonly number[], width: number): number[] => {
  const reach = Math.floor(width / 2);
  return lean.map((_, at) => {
    let sum = 0;
    for (let t = -reach; t <= reach; t++) sum += wrapped(lean, at + t) * Math.sin((2 * Math.PI * t) / width);
    return sum / Math.sqrt(width / 2);
  });
};

const wrapped = (values: readonly number[], i: number): number =>
  values[((i % values.length) + values.length) % values.length] as number;

/** Local maxima, the highest first served, at least `apart` from each other round the ends. */
const strongest = (values: readonly number[], apart: number): Peak[] => {
  const tops = values
    .map((value, i) => ({ i, value }))
    .filter(({ i, value }) => value > 0 && value >= wrapped(values, i - 1) && value > wrapped(values, i + 1))
    .sort((a, b) => b.value - a.value);
  const least = clearShare * (tops[0]?.value ?? 0);
  const kept: Peak[] = [];
  for (const { i, value } of tops) {
    if (value < least || kept.some((p) => distanceRound(p.at, i, values.length) < apart)) continue;
    kept.push({ at: i + parabolaShift(wrapped(values, i - 1), value, wrapped(values, i + 1)), value });
  }
  return kept.sort((a, b) => a.at - b.at);
};

const distanceRound = (a: number, b: number, length: number): number => {
  const d = Math.abs(a - b) % length;
  return Math.min(d, length - d);
};

const withGaps = (peaks: readonly Peak[], length: number, width: number): UnitColumn[] => {
  const steps = peaks.map((p, k) => (peaks[k + 1]?.at ?? (peaks[0] as Peak).at + length) - p.at);
  const usual = peaks.length < 2 ? width : Math.min(...steps);
  return peaks.flatMap((p, k) => {
    const step = steps[k] as number;
    const empty = step > gapFrom * usual ? Math.round(step / usual) - 1 : 0;
    return Array.from({ length: empty + 1 }, (_, i) => ({
      offset: (p.at + (step * i) / (empty + 1)) / length,
      gap: i > 0,
    }));
  });
};
