import { type Column, columnsOf, type FabricSpec } from './fabric';
import { seeded } from './random';

/** A place on the fabric: mm along x and y in the fabric's middle plane, and mm above that plane. */
export interface FabricPlace {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** The disturbed lattice of a fabric: where stitch (needle, course) lies, smooth in both. */
export interface Lattice {
  readonly columns: readonly Column[];
  /** Undisturbed height of each course's middle, mm, growing downward; course 0 is the topmost. */
  readonly courseYMm: readonly number[];
  /** Undisturbed size, mm. */
  readonly widthMm: number;
  readonly heightMm: number;
  /** Carries a place of the undisturbed lattice to where bow, skew, stretch and curl put it. */
  place(xMm: number, yMm: number): FabricPlace;
  /** True where the side edge rolls so far that a stitch can no longer be counted on. */
  rolled(xMm: number): boolean;
}

interface Wave {
  readonly ax: number;
  readonly ay: number;
  readonly kx: number;
  readonly ky: number;
  readonly phase: number;
}

const wavesOf = (spec: FabricSpec, sizeMm: number): readonly Wave[] => {
  const random = seeded(spec.seed).fork('stretch');
  const count = 4;
  return Array.from({ length: count }, () => {
    const k = (2 * Math.PI) / (sizeMm * random.between(0.6, 1.6));
    const heading = random.between(0, 2 * Math.PI);
    // Each wave strains by at most amplitude × k; the waves share the allowed strain.
    const amplitude = spec.stretch / k / Math.sqrt(count);
    const push = random.between(0, 2 * Math.PI);
    return {
      ax: amplitude * Math.cos(push),
      ay: amplitude * Math.sin(push),
      kx: k * Math.cos(heading),
      ky: k * Math.sin(heading),
      phase: random.between(0, 2 * Math.PI),
    };
  });
};

const courseHeights = (spec: FabricSpec): { ys: number[]; heightMm: number } => {
  const random = seeded(spec.seed).fork('courses');
  const { share, every } = spec.unevenness;
  const heights = Array.from({ length: spec.courses }, (_, course) => {
    const tight = every > 0 && course % every === 0 ? -1.5 * share : 0;
    return spec.coursePitchMm * (1 + share * random.normal() * 0.5 + tight);
  });
  const total = heights.reduce((a, b) => a + b, 0);
  let edge = -total / 2;
  const ys = heights.map((height) => {
    const middle = edge + height / 2;
    edge += height;
    return middle;
  });
  return { ys, heightMm: total };
};

/** Builds the lattice of a fabric from its description. */
export const latticeOf = (spec: FabricSpec): Lattice => {
  const columns = columnsOf(spec);
  const widthMm = columns.reduce((sum, column) => sum + column.widthMm, 0);
  const { ys, heightMm } = courseHeights(spec);
  const waves = wavesOf(spec, Math.max(widthMm, heightMm));
  const curlRadiusMm = Math.max(2.2 * spec.yarn.diameterMm, 3);
  const curlFromMm = widthMm / 2 - curlRadiusMm * spec.curlRad;
  const tanSkew = Math.tan(spec.skewRad);
  const tanLean = Math.tan(spec.leanRad);
  const rollsUp = spec.structure.kind === 'plainPurl' ? 1 : -0.35;

  const place = (xMm: number, yMm: number): FabricPlace => {
    let x = xMm;
    let z = 0;
    const beyond = Math.abs(xMm) - curlFromMm;
    if (spec.curlRad > 0 && beyond > 0) {
      const angle = beyond / curlRadiusMm;
      x = Math.sign(xMm) * (curlFromMm + curlRadiusMm * Math.sin(angle));
      z = rollsUp * curlRadiusMm * (1 - Math.cos(angle));
    }
    const across = (2 * xMm) / widthMm;
    let px = x + tanLean * yMm;
    let py = yMm + tanSkew * x + spec.bowMm * (1 - across * across);
    for (const wave of waves) {
      const s = Math.sin(wave.kx * xMm + wave.ky * yMm + wave.phase);
      px += wave.ax * s;
      py += wave.ay * s;
    }
    return { x: px, y: py, z };
  };

  return {
    columns,
    courseYMm: ys,
    widthMm,
    heightMm,
    place,
    rolled: (xMm) => spec.curlRad > 0 && Math.abs(xMm) - curlFromMm > 0.5 * curlRadiusMm,
  };
};
