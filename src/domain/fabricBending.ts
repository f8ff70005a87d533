import type { BlockOffset, EvenCell } from './fabricBlocks';
import { choleskyFactor, choleskyInverse } from './planeFitAlgebra';

/** How a fabric departs from evenness, all as shares: a knitted piece is drawn and steamed a little out of shape, and some rows come looser than others. */
export interface Bending {
  /** Standard deviation of its local stretch. */
  readonly strain: number;
  /** How far stretch goes on before it changes, as a share of the fabric's size. */
  readonly reach: number;
  /** Standard deviation of the height of single rows, and of the width of single columns, as a share of it. */
  readonly unevenness: number;
}

/** A tilt for one way of bending: the share by which depth grows per unit of length to the right and down, its covariance, and how well it all fits. */
export interface TiltedFit {
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  /** Logarithm of the restricted likelihood, up to a constant. */
  readonly logLikelihood: number;
}

/** Block medians lie this near to the fabric's smooth shape, as a share of a pitch. */
const placeShare = 0.03;
/** Unknowns along either direction: shift, two of stretch and shear, bow; and the two of the tilt that both share. */
const ownUnknowns = 4;
const unknowns = 2 * ownUnknowns + 2;

/** One of the two directions: how far every block lies off in it, its distance along it, and its distance across, which the line may bow with. */
interface Direction {
  readonly off: readonly number[];
  readonly own: readonly number[];
  readonly other: readonly number[];
  readonly pitch: number;
}

/** Size of a fabric: the side of the square that is as large as the middle of its blocks reaches. */
const sizeOf = (blocks: readonly BlockOffset[]): number => {
  const reachOf = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
  return Math.sqrt(reachOf(blocks.map((b) => b.across)) * reachOf(blocks.map((b) => b.along)));
};

/**
 * Covariance of how far blocks lie off in one direction: a smooth random field of displacement (squared exponential), rows or columns of uneven size that add up as
 * a random walk does, and the noise of places.
 */
const covarianceOf = (
  { own, other, pitch }: Direction,
  { strain, reach, unevenness }: Bending,
  size: number,
): number[] => {
  const n = own.length;
  const length = reach * size;
  const bend = (strain * length) ** 2;
  const step = 0.5 * unevenness * unevenness * pitch;
  const out = new Array<number>(n * n).fill(0);
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      const along = (own[i] as number) - (own[j] as number);
      const across = (other[i] as number) - (other[j] as number);
      // What is common to all blocks is taken up by the shift: any constant that keeps the walk's part positive will do.
      const walk = step * (3 * size - Math.abs(along));
      const smooth = bend * Math.exp(-(along * along + across * across) / (2 * length * length));
      const noise = i === j ? (placeShare * pitch) ** 2 : 0;
      out[i * n + j] = smooth + walk + noise;
      out[j * n + i] = smooth + walk + noise;
    }
  }
  return out;
};

/** Solves L z = b for the lower factor of a covariance: z is b in independent units. */
const independent = (lower: readonly number[], b: readonly number[]): number[] => {
  const n = b.length;
  const out = [...b];
  for (let i = 0; i < n; i += 1) {
    let sum = out[i] as number;
    for (let k = 0; k < i; k += 1) sum -= (lower[i * n + k] as number) * (out[k] as number);
    out[i] = sum / (lower[i * n + i] as number);
  }
  return out;
};

const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, v, i) => sum + v * (b[i] ?? 0), 0);

const logOfDiagonal = (lower: readonly number[], n: number): number =>
  Array.from({ length: n }, (_, i) => Math.log(lower[i * n + i] as number)).reduce((a, b) => a + b, 0);

/** How far every block is moved by each unknown of its direction, and by the tilt: a place p from the middle lies off by (g·p) p. */
const columnsOf = (
  { own, other }: Direction,
  places: readonly (readonly [number, number])[],
  size: number,
): number[][] => [
  own.map(() => 1),
  own.map((v) => v / size),
  other.map((v) => v / size),
  other.map((v) => (v / size) ** 2),
  own.map((v, i) => v * (places[i]?.[0] ?? 0)),
  own.map((v, i) => v * (places[i]?.[1] ?? 0)),
];

/**
 * Finds the tilt from how far blocks of stitches lie off an even fabric, by generalised least squares (A. C. Aitken 1935) with a given way of bending; rows and
 * columns may be shifted, sheared and bowed freely. The likelihood is that of what these unknowns leave (H. D. Patterson & R. Thompson 1971).
 * @returns null when the blocks do not determine it.
 */
export const tiltWhenBent = (
  blocks: readonly BlockOffset[],
  { wale, course }: EvenCell,
  bending: Bending,
): TiltedFit | null => {
  const n = blocks.length;
  const size = sizeOf(blocks);
  const [wLength, cLength] = [Math.hypot(...wale), Math.hypot(...course)];
  const across = blocks.map((b) => b.across);
  const along = blocks.map((b) => b.along);
  const places = blocks.map((b): readonly [number, number] => [
    (b.across * wale[0]) / wLength + (b.along * course[0]) / cLength,
    (b.across * wale[1]) / wLength + (b.along * course[1]) / cLength,
  ]);
  const directions: readonly Direction[] = [
    { off: blocks.map((b) => b.offAcross), own: across, other: along, pitch: wLength },
    { off: blocks.map((b) => b.offAlong), own: along, other: across, pitch: cLength },
  ];
  const normal = new Array<number>(unknowns * unknowns).fill(0);
  const right = new Array<number>(unknowns).fill(0);
  let squares = 0;
  let logDeterminant = 0;
  for (const [d, direction] of directions.entries()) {
    const lower = choleskyFactor(covarianceOf(direction, bending, size), n);
    if (lower === null) return null;
    logDeterminant += logOfDiagonal(lower, n);
    const off = independent(lower, direction.off);
    const columns = columnsOf(direction, places, size).map((column) => independent(lower, column));
    const at = (k: number): number => (k < ownUnknowns ? ownUnknowns * d + k : ownUnknowns + k);
    squares += dot(off, off);
    columns.forEach((a, i) => {
      right[at(i)] = (right[at(i)] ?? 0) + dot(a, off);
      columns.forEach((b, j) => {
        const k = unknowns * at(i) + at(j);
        normal[k] = (normal[k] ?? 0) + dot(a, b);
      });
    });
  }
  const factor = choleskyFactor(normal, unknowns);
  if (factor === null) return null;
  const inverse = choleskyInverse(factor, unknowns);
  const values = Array.from({ length: unknowns }, (_, i) =>
    dot(inverse.slice(unknowns * i, unknowns * (i + 1)), right),
  );
  const first = 2 * ownUnknowns;
  const second = first + 1;
  return {
    x: values[first] ?? 0,
    y: values[second] ?? 0,
    xx: inverse[unknowns * first + first] ?? 0,
    xy: inverse[unknowns * first + second] ?? 0,
    yy: inverse[unknowns * second + second] ?? 0,
    logLikelihood: -logDeterminant - logOfDiagonal(factor, unknowns) - 0.5 * (squares - dot(values, right)),
  };
};
