import type { PhotoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import { type Basis, basesDiffer, sameLattice } from './basis';
import { withoutDye } from './dye';
import { withoutExplained } from './explained';
import { findingOf, nothingFound } from './finding';
import { isInside, longSideOf } from './polygon';
import type { Vec } from './raster';
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
  let look = 0;
  for (const found of allReadings(work, options)) {
    const first = found.look === look ? undefined : best(met);
    if (first !== undefined && isGoodEnough(first)) break;
    if (found.look >= secondLook && look < secondLook && !isWorthSeconds(met)) break;
    look = found.look;
    const again = isLikely(found) && met.some((other) => isLikely(other) && agree(found, other));
    met.push(found);
    if (found.finding.confidence.status === 'measured' && isGoodEnough(found)) return { met, taken: found };
    if (again || isSettled(found, met)) break;
  }
  if (!met.some(isLikely)) met.push(...likelyUnderMasks(work, options));
  return { met, taken: best(met) };
};

/** Whether so many readings agree with this one, and leave the same doubt, that another look would neither outweigh them nor settle it. */
const isSettled = (found: Found, met: readonly Found[]): boolean => {
  const worthOf = (some: readonly Found[]): number => some.reduce((sum, { worth }) => sum + worth, 0);
  const doubtOf = ({ finding }: Found): string => finding.confidence.reasons.join();
  const alike = met.filter(
    (other) => isSound(other) && agree(found, other) && doubtOf(found) === doubtOf(other),
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
  for (const found of allReadings(work, { ...options, only: maskOut })) {
    if (found.look >= secondLook) return [];
    if (isLikely(found)) return [found];
  }
  return [];
};

/**
 * All that can be read in a photo, scale by scale, as it is and with the dye taken out, the likeliest first, and after all of it once more with the lattices that were
 * the likeliest nowhere; what is not asked for is not read.
 */
function* allReadings(work: WorkImage, options: Places): Generator<Found> {
  let dyeless: WorkImage | undefined;
  const hopeless: Basis[] = [];
  const hopelessDyeless: Basis[] = [];
  const looks: Look[] = [];
  const lookAt = (image: WorkImage, shrink: number, without: Basis[], number: number): Look => {
    const look = {
      work: image,
      shrink,
      hopeless: without,
      number,
      candidates: surveyed(image, options, shrink),
    };
    looks.push(look);
    return look;
  };
  for (const [number, shrink] of shrinksFor(work, options.region).entries()) {
    yield* likeliestIn(lookAt(work, shrink, hopeless, number), options);
    dyeless ??= { ...work, image: withoutDye(work.image) };
    yield* likeliestIn(lookAt(dyeless, shrink, hopelessDyeless, number), options);
  }
  for (const look of looks) yield* secondsIn({ ...look, number: secondLook + look.number }, options);
}

/** A survey of a photo at one scale. */
interface Look {
  readonly work: WorkImage;
  /** Work px per survey px. */
  readonly shrink: number;
  readonly candidates: readonly Candidate[];
  /** Lattices that gave nothing before: left out, and added to. */
  readonly hopeless: Basis[];
  /** The same for all that is read at one scale. */
  readonly number: number;
}

/** Looks from this number on are at what was the likeliest nowhere. */
const secondLook = 100;

const surveyed = (work: WorkImage, options: Places, shrink: number): Candidate[] => {
  options.onStage?.('pitch', 0);
  return survey(work, shrink, strideFor(work, shrink, options.region), allowedBy(options));
};

/** Reads the heaviest, and what lies beside them where none of them is as good as not. */
function* likeliestIn(look: Look, options: Places): Generator<Found> {
  const candidates = look.candidates.filter(({ second }) => !second);
  const heaviest = worthReading(candidates);
  const others = elsewhere(candidates, heaviest, leastShare * areaOf(look.work));
  let likeliestWhole = 0;
  for (const candidate of [...heaviest, ...others]) {
    if (likeliestWhole >= asGoodAsNot && others.includes(candidate)) return;
    for (const found of readingsAt(look, options, withKin(candidate, candidates))) {
      if (found.whole) likeliestWhole = Math.max(likeliestWhole, found.finding.confidence.chance);
      yield found;
    }
  }
}

/** Reads the heaviest lattices that another outweighs at their own place. */
function* secondsIn(look: Look, options: Places): Generator<Found> {
  const seconds = worthReading(look.candidates.filter(({ second }) => second));
  for (const candidate of seconds) yield* readingsAt(look, options, withKin(candidate, look.candidates));
}

function* readingsAt(look: Look, options: Places, candidate: Candidate): Generator<Found> {
  const { work, hopeless, number } = look;
  if (hopeless.some((basis) => basesDiffer(basis, candidate.basis) < againDiffer)) return;
  const onStage = options.onStage ?? (() => {});
  const photoPx2 = areaOf(work);
  const least = options.region === null ? swatchShare * photoPx2 : 0;
  let likeliest = 0;
  for (const reading of readingsOf(work, candidate, allowedBy(options), onStage)) {
    onStage('confidence', 0);
    const finding = findingOf(reading);
    const { pitchPx } = finding;
    likeliest = Math.max(likeliest, finding.confidence.chance);
    const readPx2 = pitchPx === null ? 0 : reading.stitchCount * pitchPx.wale * pitchPx.course;
    const worth =
      oddsOf(finding.confidence.chance) *
      (readPx2 / photoPx2) *
      inStep(reading) *
      uprightShare(reading.template) *
      (pitchPx === null ? 0 : ridgeShare(pitchPx.wale / pitchPx.course, reading.template));
    const whole = readPx2 > Math.max(wholeShare * candidate.area, least);
    yield { finding, reading, worth, whole, look: number };
  }
  if (likeliest < littleHope) hopeless.push(candidate.basis);
}

/** A reading this likely is not looked for again at another scale, nor at all once a second one agrees. */
const goodEnough = 0.95;

const isGoodEnough = ({ finding, reading, whole }: Found): boolean =>
  whole && finding.confidence.chance >= goodEnough && inStep(reading) >= halfInStep;

/** Likely, and clear: two readings may drown in one marl in the same way. */
const isLikely = (found: Found): boolean =>
  isGoodEnough(found) && found.worth > 0 && found.reading.medianScore > clearlyAlike;
const clearlyAlike = 0.5;

/**
 * How far a grid goes in step with the stitches, 0 to 1, by what all of them share down the wales: right readings of drawn photos come to 0.3 and more, of marl to 0.13;
 * grids that had caught the beat of a marl's plies to 0.02 to 0.05.
 */
const inStep = ({ shared }: FabricReading): number =>
  shared === null ? 1 : Math.min(1, Math.max(0, shared) / sharedByStitches) ** 2;
const sharedByStitches = 0.15;
const halfInStep = 0.4;

/** Whether it is as good as not, reaches over the fabric and goes in step with its stitches. */
const isSound = ({ finding, reading, whole }: Found): boolean =>
  whole && finding.confidence.chance >= asGoodAsNot && inStep(reading) >= halfInStep;

/** Whether what is the likeliest nowhere is worth the time: not where something sound was read, nor where there is hardly any fabric. */
const isWorthSeconds = (met: readonly Found[]): boolean =>
  !met.some(isSound) && met.some(({ finding, whole }) => whole && finding.confidence.chance > littleHope);

/** The worthiest of all; where some reach over the fabric and are sound, of those. */
const best = (met: readonly Found[]): Found | undefined =>
  worthiest(withoutExplained(met.some(isSound) ? met.filter(({ whole }) => whole) : met));

/** Where a reading over the whole is at least as likely as not, nothing lighter is looked for beside it. */
const asGoodAsNot = 0.5;

/** A lattice that gave nothing likelier is not read again with nearly the same steps. */
const littleHope = 0.05;
const againDiffer = 0.02;

/** A reading of less than this share of the fabric is not taken before another way was tried: it may be one stripe of many. */
const wholeShare = 0.25;
/** Nor is one that fills less of the photo: nobody photographs a swatch so small. */
const swatchShare = 0.02;

/** No chance is so high that how much was read did not count. */
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
  const kin = all.filter(
    (other) => other === candidate || sameLattice(candidate.basis, other.basis, kinDiffer),
  );
  return {
    ...candidate,
    extent: kin.flatMap(({ extent }) => extent),
    covers: (photo) => kin.some(({ covers }) => covers(photo)),
  };
};

/** How far the steps of touching parts of one fabric may differ, as a share of the step. */
const kinDiffer = 0.25;

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
  /** The odds that it is right, times the share of the photo that it covers, less where it looks woven or goes out of step with the stitches. */
  readonly worth: number;
  /** Whether it reaches over a good part of the fabric. */
  readonly whole: boolean;
  /** The look at which the fabric was found: the same for all that is read at one scale. */
  readonly look: number;
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
