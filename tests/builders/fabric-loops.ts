import { type Column, type FabricSpec, faceSign, isDropped } from './fabric';
import type { Lattice } from './fabric-lattice';
import { smoothStep } from './fabric-noise';
import { unitFrom } from './random';

/** The yarn of one course as a chain of samples; every array has one entry a sample. */
export interface YarnChain {
  readonly course: number;
  /** Middle of the yarn: fabric mm, and mm above the fabric's middle plane. */
  readonly x: Float32Array;
  readonly y: Float32Array;
  readonly z: Float32Array;
  /** Radius of the yarn there, mm. */
  readonly radius: Float32Array;
  /** Length of yarn from the very first sample of the fabric, mm. */
  readonly along: Float32Array;
}

/** Half the yarn's rise and fall between front and back of the fabric, in yarn diameters. */
const RISE = 0.56;

/** Height of the fabric's middle plane above whatever it lies on, mm. */
export const restHeightMm = (spec: FabricSpec): number => (RISE + 0.5) * spec.yarn.diameterMm + spec.liftMm;

const signedUnit = (seed: number, a: number, b: number): number => {
  // The sum of three uniforms is close enough to a normal for the scatter of single stitches.
  const s = unitFrom(seed, a, b) + unitFrom(seed + 1, a, b) + unitFrom(seed + 2, a, b) - 1.5;
  return s * 2;
};

interface StitchScatter {
  readonly dx: number;
  readonly dy: number;
  readonly wide: number;
  readonly tall: number;
  readonly lean: number;
}

const scatterOf = (spec: FabricSpec, needle: number, course: number): StitchScatter => {
  const j = spec.jitter;
  const at = (salt: number) => signedUnit(spec.seed * 7 + salt * 16, needle + 1000, course + 1000);
  return {
    dx: at(1) * j * spec.walePitchMm,
    dy: at(2) * j * spec.coursePitchMm,
    wide: 1 + at(3) * j * 1.6,
    tall: 1 + at(4) * j,
    lean: at(5) * j * 0.9,
  };
};

interface LoopShape {
  readonly column: Column;
  readonly scatter: StitchScatter;
  readonly sign: number;
}

/**
 * Plain-knit loop as x = W·t/2π + a·sin 2t, y = −h·cos t, z = −d·cos 2t over t from −π to π: the usual closed form for the
 * middle line of a knitted loop (head at t = 0, sinker halves at ±π, legs between), from memory.
 */
const loopPoint = (
  spec: FabricSpec,
  own: LoopShape,
  left: LoopShape | null,
  right: LoopShape | null,
  t: number,
): [number, number, number] => {
  const beside = t < 0 ? left : right;
  const towards = smoothStep(0.35 * Math.PI, Math.PI, Math.abs(t)) * 0.5;
  const blend = (mine: number, theirs: number | undefined): number =>
    theirs === undefined ? mine : mine + (theirs - mine) * towards;
  const sign = blend(own.sign, beside?.sign);
  const raised = blend(own.column.raisedMm, beside?.column.raisedMm);
  const dx = blend(own.scatter.dx, beside?.scatter.dx);
  const dy = blend(own.scatter.dy, beside?.scatter.dy);
  const width = own.column.widthMm;
  const sideways = spec.loop.spread * Math.min(width, spec.walePitchMm) * own.scatter.wide;
  const h = spec.loop.reach * spec.coursePitchMm * blend(own.scatter.tall, beside?.scatter.tall);
  const c = Math.cos(t);
  const garterLift = spec.structure.kind === 'garter' ? -0.35 * own.sign * spec.yarn.diameterMm : 0;
  return [
    own.column.centreMm +
      (width * t) / (2 * Math.PI) +
      sideways * Math.sin(2 * t) +
      dx +
      own.scatter.lean * h * c,
    -h * c + dy,
    -sign * RISE * spec.yarn.diameterMm * Math.cos(2 * t) + raised + garterLift,
  ];
};

/**
 * The yarn of every course, sampled `samplesPerStitch` times a stitch, in fabric coordinates. Where a needle is out or has dropped its stitch the
 * yarn runs straight across to the next one: a ladder.
 */
export const yarnChains = (spec: FabricSpec, lattice: Lattice, samplesPerStitch: number): YarnChain[] => {
  const { columns, courseYMm } = lattice;
  const chains: YarnChain[] = [];
  let along = 0;
  // Knitting runs upward: the bottom course used the yarn first.
  for (let course = spec.courses - 1; course >= 0; course--) {
    const shapes = columns.map((column, needle): LoopShape | null =>
      column.kind === 'gap' || isDropped(spec, needle, course)
        ? null
        : { column, scatter: scatterOf(spec, needle, course), sign: faceSign(spec, column, course) },
    );
    const points: number[] = [];
    const push = (x: number, y: number, z: number): void => {
      const place = lattice.place(x, (courseYMm[course] as number) + y);
      points.push(place.x, place.y, place.z + z);
    };
    shapes.forEach((own, needle) => {
      if (own === null) return;
      const left = shapes[needle - 1] ?? null;
      const right = shapes[needle + 1] ?? null;
      for (let i = 0; i < samplesPerStitch; i++) {
        const t = -Math.PI + (2 * Math.PI * i) / samplesPerStitch;
        push(...loopPoint(spec, own, left, right, t));
      }
      if (right === null) {
        push(...loopPoint(spec, own, left, right, Math.PI));
      }
    });
    chains.push(chainFrom(points, course, along, spec));
    along = (chains[chains.length - 1] as YarnChain).along.at(-1) ?? along;
  }
  return chains;
};

const chainFrom = (points: readonly number[], course: number, start: number, spec: FabricSpec): YarnChain => {
  const n = points.length / 3;
  const x = new Float32Array(n);
  const y = new Float32Array(n);
  const z = new Float32Array(n);
  const radius = new Float32Array(n);
  const along = new Float32Array(n);
  let run = start;
  for (let i = 0; i < n; i++) {
    x[i] = points[3 * i] as number;
    y[i] = points[3 * i + 1] as number;
    z[i] = points[3 * i + 2] as number;
    if (i > 0) {
      run += Math.hypot(
        (x[i] as number) - (x[i - 1] as number),
        (y[i] as number) - (y[i - 1] as number),
        (z[i] as number) - (z[i - 1] as number),
      );
    }
    along[i] = run;
    const slow = signedUnit(spec.seed * 13 + 5, Math.floor(run / (9 * spec.yarn.diameterMm)), 3);
    const next = signedUnit(spec.seed * 13 + 5, Math.floor(run / (9 * spec.yarn.diameterMm)) + 1, 3);
    const f = (run / (9 * spec.yarn.diameterMm)) % 1;
    radius[i] = 0.5 * spec.yarn.diameterMm * (1 + spec.yarn.slub * (slow + (next - slow) * f));
  }
  return { course, x, y, z, radius, along };
};
