import { type Furrow, furrowIn } from './furrow';

/** Where a knit column stands within a repeat, as a share of the repeat's width, and whether it is an empty needle position or a purl column instead. */
export interface UnitColumn {
  readonly offset: number;
  readonly gap: boolean;
}

/** The columns of a repeat and how they were told. */
export interface UnitColumns {
  /** From the first knit one to the next repeat's, with the needle positions between them that show no legs; none without legs. */
  readonly columns: readonly UnitColumn[];
  /** What stands between the last knit column and the next repeat's first. */
  readonly furrow: Furrow['kind'];
  /** Share of the lean that this many columns side by side explain, 0 to 1. */
  readonly explained: number;
  /** The most that another number of columns explains. */
  readonly next: number;
  /** Width of a knit column on the scale of the repeat. */
  readonly width: number;
}

/** Mean direction of the yarn across one repeat of a rib or of a fabric with needles out, the same at both ends. */
export interface UnitProfile {
  /** sin 2θ of the gradient: across each knit column it runs through one sine wave. */
  readonly lean: readonly number[];
  /** cos 2θ of the gradient: high where the yarn runs along the wale, low in purl furrows and across ladders. */
  readonly steep: readonly number[];
}

/** How wide a knit column may be, in courses: common practice for plain knitting is 1.2 to 1.55, ribs draw it in, gaps let it spread. */
const widths = { least: 0.95, most: 1.85, step: 0.05 } as const;
/** Most knit columns side by side. */
const mostColumns = 7;
/** Yarn at least this share as steep as the steepest eighth counts in full; flatter yarn is less of a leg. */
const steepEnough = 0.5;

/**
 * Finds the knit columns in one repeat: as many side by side, of one width, as explain most of the yarn's lean. Upside down the legs of a stitch
 * lean the other way, and both ways are tried: a wrong one leaves half a column over at each side.
 * @param coursePx Height of a course on the same scale.
 */
export const unitColumns = (profile: UnitProfile, coursePx: number): UnitColumns => {
  const lean = legs(profile);
  const energy = lean.reduce((sum, v) => sum + v * v, 0);
  const none: UnitColumns = { columns: [], furrow: 'closed', explained: 0, next: 0, width: coursePx };
  if (energy < 1e-9) return none;
  const fits = Array.from({ length: mostColumns }, (_, i) => bestFit(lean, i + 1, coursePx)).filter(
    (fit) => fit !== null,
  );
  const [best, second] = fits.sort((a, b) => b.value - a.value);
  if (best === undefined) return none;
  const furrow = furrowIn(profile, {
    from: best.left + best.count * best.width,
    to: best.left + lean.length,
    columnWidth: best.width,
    knitSign: best.sign,
  });
  return {
    columns: columnsOf(best, lean.length, furrow.needles),
    furrow: furrow.kind,
    explained: best.value / energy,
    next: (second?.value ?? 0) / energy,
    width: best.width,
  };
};

/** The lean where the yarn is steep, less its mean (skew). */
const legs = ({ lean, steep }: UnitProfile): number[] => {
  const sorted = [...steep].sort((a, b) => b - a);
  const full = steepEnough * (sorted[sorted.length >> 3] as number);
  const share = steep.map((v) => (full <= 0 ? 0 : Math.min(1, Math.max(0, v / full))));
  const total = share.reduce((a, b) => a + b, 0);
  const mean = lean.reduce((sum, v, i) => sum + v * (share[i] as number), 0) / Math.max(1e-9, total);
  return lean.map((v, i) => (v - mean) * (share[i] as number));
};

interface Fit {
  readonly count: number;
  /** Left edge of the first column, and the width of each. */
  readonly left: number;
  readonly width: number;
  /** Energy that the columns explain. */
  readonly value: number;
  /** Which way the lean of each column runs: 1 from plus to minus. */
  readonly sign: number;
}

/** The place and width at which so many columns explain most; null if they have no room. */
const bestFit = (lean: readonly number[], count: number, coursePx: number): Fit | null => {
  let best: Fit | null = null;
  for (let w = widths.least; w <= widths.most + 1e-9; w += widths.step) {
    const width = w * coursePx;
    const span = Math.round(count * width);
    if (span > 1.04 * lean.length) break;
    const wave = Array.from({ length: span }, (_, i) => Math.sin((2 * Math.PI * (i + 0.5)) / width));
    const norm = wave.reduce((sum, v) => sum + v * v, 0);
    for (let left = 0; left < lean.length; left++) {
      let sum = 0;
      for (let i = 0; i < span; i++) sum += (lean[(left + i) % lean.length] as number) * (wave[i] as number);
      const value = sum ** 2 / norm;
      if (best === null || value > best.value) best = { count, left, width, value, sign: Math.sign(sum) };
    }
  }
  return best;
};

const columnsOf = ({ count, left, width }: Fit, length: number, between: number): UnitColumn[] => {
  const rest = length - (count - 1) * width;
  const middle = left + width / 2;
  const knit = Array.from({ length: count }, (_, i) => ({
    offset: (middle + i * width) / length,
    gap: false,
  }));
  const last = middle + (count - 1) * width;
  const gaps = Array.from({ length: between }, (_, i) => ({
    offset: (last + (rest * (i + 1)) / (between + 1)) / length,
    gap: true,
  }));
  return [...knit, ...gaps];
};
