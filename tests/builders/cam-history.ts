import { type CamFit, fitCam } from '../../src/domain/camFit';
import { predictPitch, readingForPitch } from '../../src/domain/camFitPredict';
import type { CamGroup, CamRecord } from '../../src/domain/camFitRecords';
import { type Random, seeded } from './random';

/** A simulated machine and knitter whose true values are known. */
export interface CamWorld {
  /** mm of stitch width a mm of caliper reading; Munden's constants give 2 / 4.2, the sign is the landmark's. */
  readonly slope: number;
  /** True scatter of swatches knitted alike, relative. */
  readonly scatter: number;
  readonly uReadingMm: number;
  readonly uPitchMm: number;
  /** How far the true slopes of yarns differ, relative. */
  readonly slopeSpread: number;
}

const MIDDLE_MM = 28;

const knit = (world: CamWorld, slope: number, level: number, trueReading: number, random: Random): number =>
  (level + slope * (trueReading - MIDDLE_MM)) * (1 + world.scatter * random.normal()) +
  world.uPitchMm * random.normal();

/** Swatches of one yarn at settings spread unevenly over two millimetres of travel. */
const swatchesOf = (
  world: CamWorld,
  yarnId: string,
  slope: number,
  level: number,
  count: number,
  random: Random,
): CamRecord[] =>
  Array.from({ length: count }, (_, i) => {
    const trueReading = MIDDLE_MM - 1 + (2 * (i + 0.6 * random.next())) / Math.max(1, count - 0.4);
    return {
      id: `${yarnId}-${i}`,
      readingMm: trueReading + world.uReadingMm * random.normal(),
      uReadingMm: world.uReadingMm,
      walePitchMm: knit(world, slope, level, trueReading, random),
      uWalePitchMm: world.uPitchMm,
      coursePitchMm: knit(world, slope, level, trueReading, random) / 1.3,
      uCoursePitchMm: world.uPitchMm / 1.3,
      restState: 'washedAndDried',
      yarnId,
      machineId: 'bench',
      cylinderNeedles: 72,
      landmarkId: 'cam top',
    };
  });

/** One knitter's history, then a new swatch: did the intervals hold it, and how wide were they? */
const trial = (world: CamWorld, ownSwatches: number, otherYarns: number, random: Random) => {
  const drawSlope = (): number => world.slope * (1 + world.slopeSpread * random.normal());
  const others = Array.from({ length: otherYarns }, (_, i): CamGroup => {
    const yarnId = `other ${i}`;
    const records = swatchesOf(world, yarnId, drawSlope(), 3.1 + 0.2 * random.normal(), 4, random);
    return { yarnId, cylinderNeedles: 72, records };
  });
  const slope = drawSlope();
  const fit = fitCam(swatchesOf(world, 'mine', slope, 3.1, ownSwatches, random), others, 'wale') as CamFit;
  const trueReading = MIDDLE_MM + random.between(-1, 1);
  const reading = trueReading + world.uReadingMm * random.normal();
  const pitch = knit(world, slope, 3.1, trueReading, random);
  const { lowerMm, upperMm, pitchMm } = predictPitch(fit, reading);
  const { inverse } = readingForPitch(fit, pitch);
  return {
    forward: pitch >= lowerMm && pitch <= upperMm,
    backward: inverse.kind === 'unbounded' || (reading >= inverse.lower && reading <= inverse.upper),
    relativeHalfWidth: (upperMm - lowerMm) / 2 / pitchMm,
  };
};

/** Percentage of simulated knitters whose new swatch lay in the interval, forward and backward, and its median half-width. */
export const camCoverage = (
  world: CamWorld,
  options: { ownSwatches: number; otherYarns: number; seed: number; trials: number },
): { forward: number; backward: number; relativeHalfWidth: number } => {
  const random = seeded(options.seed);
  const runs = Array.from({ length: options.trials }, () =>
    trial(world, options.ownSwatches, options.otherYarns, random),
  );
  const widths = runs.map((r) => r.relativeHalfWidth).sort((a, b) => a - b);
  return {
    forward: (100 * runs.filter((r) => r.forward).length) / runs.length,
    backward: (100 * runs.filter((r) => r.backward).length) / runs.length,
    relativeHalfWidth: widths[runs.length >> 1] ?? Number.NaN,
  };
};
