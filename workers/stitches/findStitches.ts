import type { PhotoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import { findingOf, nothingFound } from './finding';
import { isInside, longSideOf } from './polygon';
import type { Vec } from './raster';
import { readFabric } from './readFabric';
import { type Candidate, survey } from './survey';

export { growFromSeeds } from './growFromSeeds';

export interface StitchOptions {
  /** Only look inside this polygon (photo px); null looks everywhere. */
  readonly region: readonly PhotoPoint[] | null;
  /** Polygons (photo px) that are not fabric: references. */
  readonly maskOut?: readonly (readonly PhotoPoint[])[];
  readonly onStage?: (stage: Stage, share: number) => void;
}

/**
 * Long sides of the picture on which fabric is looked for, px, the likeliest first: a swatch that fills half a photo shows its wales at 10 to
 * 25 px on the first; coarse or close fabric needs the second, small or fine fabric the third.
 */
const surveySides = [1000, 450, 2200] as const;
/** Likewise for a region that the user drew: it is all fabric. */
const regionSides = [600, 270, 120, 1200] as const;

/** A patch this much lighter than the heaviest is not worth a second look. */
const lightest = 0.15;

/**
 * Finds the stitch grid in a photo of knitted fabric: where the texture repeats, its lattice, what its stitch looks like, and from there
 * every stitch. The first reading that passes all checks is taken; otherwise the best of all scales. Pure; `opencvReady()` must have resolved
 * before.
 */
export const findStitches = (work: WorkImage, options: StitchOptions): StitchFinding => {
  const onStage = options.onStage ?? (() => {});
  const allowed = allowedBy(options);
  let best: { finding: StitchFinding; worth: number } | null = null;
  for (const shrink of shrinksFor(work, options.region)) {
    onStage('pitch', 0);
    const candidates = survey(work, shrink, strideFor(work, shrink, options.region), allowed);
    for (const candidate of worthReading(candidates)) {
      const reading = readFabric(work, {
        ...candidate,
        allowed: (photo) => allowed(photo) && candidate.covers(photo),
        onStage,
      });
      if (reading === null) continue;
      onStage('confidence', 0);
      const finding = findingOf(reading);
      if (finding.confidence.status === 'measured') return finding;
      const worth = reading.stitchCount * reading.medianScore ** 2 * finding.confidence.chance;
      if (best === null || worth > best.worth) best = { finding, worth };
    }
    if (best !== null && best.finding.confidence.chance >= goodEnough) break;
  }
  return best?.finding ?? nothingFound();
};

/** A reading this likely is not looked for again at another scale. */
const goodEnough = 0.6;

const worthReading = (candidates: readonly Candidate[]): Candidate[] => {
  const heaviest = candidates[0]?.weight ?? 0;
  return candidates.filter((c) => c.weight > lightest * heaviest).slice(0, 3);
};

const allowedBy =
  ({ region, maskOut }: StitchOptions) =>
  (photo: Vec): boolean =>
    (region === null || isInside(photo, region)) && !(maskOut ?? []).some((p) => isInside(photo, p));

/** Tiles lie closer where there are few of them. */
const strideFor = (work: WorkImage, shrink: number, region: readonly Vec[] | null): number => {
  if (region !== null) return 32;
  return Math.max(work.image.widthPx, work.image.heightPx) / shrink > 1100 ? 128 : 64;
};

/** Work px per survey px for each scale to try; scales finer than the work image itself fall together. */
const shrinksFor = (work: WorkImage, region: readonly Vec[] | null): number[] => {
  const whole = Math.max(work.image.widthPx, work.image.heightPx);
  const side = region === null ? whole : longSideOf(region) / work.photoPxPerWorkPx;
  const sides = region === null ? surveySides : regionSides;
  return [...new Set(sides.map((target) => Math.max(1, side / target)))];
};
