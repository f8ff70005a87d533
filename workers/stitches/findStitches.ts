import type { PhotoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { withoutDye } from './dye';
import { findingOf, nothingFound } from './finding';
import { isInside, longSideOf } from './polygon';
import { lengthOf, type Vec } from './raster';
import type { FabricReading } from './readFabric';
import { readingsOf } from './readingsOf';
import { type Candidate, survey } from './survey';
import { ridgeShare, uprightShare } from './turned';
import { agree, worthiest } from './worthiest';

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
export const findStitches = (work: WorkImage, options: StitchOptions): StitchFinding =>
  searchStitches(work, options).taken?.finding ?? nothingFound();

/** The same search with every reading that it met on its way, in order; `taken` is undefined where it met none. */
export const searchStitches = (
  work: WorkImage,
  options: StitchOptions,
): { readonly met: readonly Found[]; readonly taken: Found | undefined } => {
  const met: Found[] = [];
  let scale = Number.NaN;
  for (const found of allReadings(work, options)) {
    const best = found.scale === scale ? undefined : worthiest(met);
    if (best !== undefined && best.finding.confidence.chance >= goodEnough) break;
    scale = found.scale;
    const again = isLikely(found) && met.some((other) => isLikely(other) && agree(found, other));
    met.push(found);
    if (found.finding.confidence.status === 'measured' && found.whole) return { met, taken: found };
    if (again || isSettled(found, met)) break;
  }
  if (!met.some(isLikely)) met.push(...likelyUnderMasks(work, options));
  return { met, taken: worthiest(met) };
};

/** Whether so many readings agree with this one, and leave the same doubt, that another look would neither outweigh them nor settle it. */
const isSettled = (found: Found, met: readonly Found[]): boolean => {
  const worthOf = (some: readonly Found[]): number => some.reduce((sum, { worth }) => sum + worth, 0);
  const doubtOf = ({ finding }: Found): string => finding.confidence.reasons.join();
  const alike = met.filter(
    (other) =>
      other.whole &&
      other.finding.confidence.chance >= asGoodAsNot &&
      agree(found, other) &&
      doubtOf(found) === doubtOf(other),
  );
  return alike.length >= enoughAlike && worthOf(alike) > mostWorth * worthOf(met);
};
const enoughAlike = 3;
const mostWorth = 0.9;

/**
 * What reads as fabric beyond a doubt where something else was thought to lie: a swatch's own outline may pass for a card's. Looked at only where nothing likely
 * lies beside it; a true card shows no texture, and a look costs little.
 */
const likelyUnderMasks = (work: WorkImage, { maskOut = [], ...options }: StitchOptions): Found[] => {
  if (maskOut.length === 0) return [];
  for (const found of allReadings(work, { ...options, only: maskOut })) if (isLikely(found)) return [found];
  return [];
};

/** All that can be read in a photo, scale by scale, as it is and with the dye taken out, the likeliest first; what is not asked for is not read. */
function* allReadings(work: WorkImage, options: Places): Generator<Found> {
  let dyeless: WorkImage | undefined;
  const hopeless: Basis[] = [];
  const hopelessDyeless: Basis[] = [];
  for (const shrink of shrinksFor(work, options.region)) {
    yield* readingsAt(work, options, shrink, hopeless);
    dyeless ??= { ...work, image: withoutDye(work.image) };
    yield* readingsAt(dyeless, options, shrink, hopelessDyeless);
  }
}

/** @param hopeless Lattices that gave nothing before: left out, and added to. */
function* readingsAt(work: WorkImage, options: Places, shrink: number, hopeless: Basis[]): Generator<Found> {
  const onStage = options.onStage ?? (() => {});
  const allowed = allowedBy(options);
  onStage('pitch', 0);
  const candidates = survey(work, shrink, strideFor(work, shrink, options.region), allowed);
  const least = options.region === null ? swatchShare * areaOf(work) : 0;
  const heaviest = worthReading(candidates);
  const others = elsewhere(candidates, heaviest, leastShare * areaOf(work));
  let likeliestWhole = 0;
  for (const candidate of [...heaviest, ...others]) {
    if (likeliestWhole >= asGoodAsNot && others.includes(candidate)) return;
    if (hopeless.some((basis) => differ(basis, candidate.basis) < againDiffer)) continue;
    let likeliest = 0;
    for (const reading of readingsOf(work, withKin(candidate, candidates), allowed, onStage)) {
      onStage('confidence', 0);
      const finding = findingOf(reading);
      const { pitchPx } = finding;
      likeliest = Math.max(likeliest, finding.confidence.chance);
      const worth =
        oddsOf(finding.confidence.chance) *
        Math.sqrt(reading.stitchCount) *
        uprightShare(reading.template) *
        (pitchPx === null ? 0 : ridgeShare(pitchPx.wale / pitchPx.course, reading.template));
      const readPx2 = pitchPx === null ? 0 : reading.stitchCount * pitchPx.wale * pitchPx.course;
      const whole = readPx2 > Math.max(wholeShare * candidate.area, least);
      if (whole) likeliestWhole = Math.max(likeliestWhole, finding.confidence.chance);
      yield { finding, reading, worth, whole, scale: shrink };
    }
    if (likeliest < littleHope) hopeless.push(candidate.basis);
  }
}

/** A reading this likely is not looked for again at another scale, nor at all once a second one agrees. */
const goodEnough = 0.95;

/** Likely, and clear: two readings may drown in one marl in the same way. */
const isLikely = ({ finding, reading, worth, whole }: Found): boolean =>
  whole && worth > 0 && reading.medianScore > clearlyAlike && finding.confidence.chance >= goodEnough;
const clearlyAlike = 0.5;

/** Where a reading over the whole is at least as likely as not, nothing lighter is looked for beside it. */
const asGoodAsNot = 0.5;

/** A lattice that gave nothing likelier is not read again with nearly the same steps. */
const littleHope = 0.05;
const againDiffer = 0.02;

/** A reading of less than this share of the fabric is not taken before another way was tried: it may be one stripe of many. */
const wholeShare = 0.25;
/** Nor is one that fills less of the photo: nobody photographs a swatch so small. */
const swatchShare = 0.02;

/** No chance is so high that the number of stitches did not count. */
const oddsOf = (chance: number): number => chance / (1.005 - chance);

const areaOf = ({ image, photoPxPerWorkPx }: WorkImage): number =>
  image.widthPx * image.heightPx * photoPxPerWorkPx ** 2;

const worthReading = (candidates: readonly Candidate[]): Candidate[] => {
  const heaviest = candidates[0]?.weight ?? 0;
  return candidates.filter((c) => c.weight > lightest * heaviest).slice(0, 3);
};

/** A woven ground fills the photo and outweighs a small swatch many times over: the heaviest that lie beside it are worth a look as well. */
const elsewhere = (
  candidates: readonly Candidate[],
  read: readonly Candidate[],
  leastArea: number,
): Candidate[] =>
  candidates
    .filter(({ area, seeds, weight }) => {
      const beside = !read.some(({ covers }) => seeds.some(covers));
      return beside && area > leastArea && weight > leastWeight;
    })
    .slice(0, mostElsewhere);
const mostElsewhere = 2;
/** Share of the photo that fabric fills at least where it is looked for beside something heavier: its tiles do not reach its edges. */
const leastShare = 0.01;
/** What repeats less clearly is hardly fabric. */
const leastWeight = 0.1;

/**
 * A candidate with the patches whose lattice is nearly its own: seen much aslant, one fabric comes apart into several that touch. The grid grows
 * through all of them.
 */
const withKin = (candidate: Candidate, all: readonly Candidate[]): Candidate => {
  const kin = all.filter((other) => other === candidate || isKin(candidate.basis, other.basis));
  return {
    ...candidate,
    extent: kin.flatMap(({ extent }) => extent),
    covers: (photo) => kin.some(({ covers }) => covers(photo)),
  };
};

/** How far the steps of touching parts of one fabric may differ, as a share of the step. */
const kinDiffer = 0.25;

const isKin = (a: Basis, b: Basis): boolean => differ(a, b) < kinDiffer;

/** How far the steps of two lattices differ, as a share of the step. */
const differ = (a: Basis, b: Basis): number =>
  Math.max(stepsApart(a.wale, b.wale), stepsApart(a.course, b.course));

const stepsApart = (a: Vec, b: Vec): number => lengthOf({ x: a.x - b.x, y: a.y - b.y }) / lengthOf(a);

/** Where to look: what the search was asked, and polygons of which one must hold what is looked for. */
interface Places extends StitchOptions {
  readonly only?: readonly (readonly PhotoPoint[])[];
}

const allowedBy =
  ({ region, maskOut, only }: Places) =>
  (photo: Vec): boolean =>
    (region === null || isInside(photo, region)) &&
    !(maskOut ?? []).some((p) => isInside(photo, p)) &&
    (only === undefined || only.some((p) => isInside(photo, p)));

/** One reading of a photo. */
export interface Found {
  readonly finding: StitchFinding;
  readonly reading: FabricReading;
  /** The odds that it is right, times the root of the number of stitches, less where it looks woven. */
  readonly worth: number;
  /** Whether it reaches over a good part of the fabric. */
  readonly whole: boolean;
  /** Work px per survey px at which the fabric was found. */
  readonly scale: number;
}

/** Tiles lie closer where there are few of them. */
const strideFor = (work: WorkImage, shrink: number, region: readonly Vec[] | null): number => {
  if (region !== null) return 32;
  return Math.max(work.image.widthPx, work.image.heightPx) / shrink > 1100 ? 128 : 64;
};

/** The last look is at the picture enlarged: stitches of 4 px are too small for the survey. */
const leastShrink = 0.5;

/** Work px per survey px for each scale to try; those finer than the work image itself fall together. */
const shrinksFor = (work: WorkImage, region: readonly Vec[] | null): number[] => {
  const whole = Math.max(work.image.widthPx, work.image.heightPx);
  const side = region === null ? whole : longSideOf(region) / work.photoPxPerWorkPx;
  const sides = region === null ? surveySides : regionSides;
  const finest = sides.length - 1;
  return [...new Set(sides.map((target, i) => Math.max(i === finest ? leastShrink : 1, side / target)))];
};
