import type { PhotoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import { type Basis, basesDiffer, sameLattice } from './basis';
import { withoutDye } from './dye';
import { judge, nothingFound } from './finding';
import { isInside, longSideOf } from './polygon';
import type { Vec } from './raster';
import type { FabricReading } from './readFabric';
import { readingsOf } from './readingsOf';
import { type Candidate, survey } from './survey';
import {
  asGoodAsNot,
  bearsOut,
  best,
  type Found,
  isFair,
  isGoodEnough,
  isLikely,
  isSettled,
  isWorthSeconds,
  littleHope,
  mostWorthOf,
  worthOf,
} from './weighing';

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
 * every stitch. The first clear reading that passes all checks is taken; otherwise the best of all scales. Pure; `opencvReady()` must have resolved
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
  const labour: Labour = { stitches: 0 };
  for (const found of allReadings(work, { ...options, met, labour })) {
    const again = bearsOut(found, met);
    met.push(found);
    if (found.finding.confidence.status === 'measured' && isLikely(found)) return { met, taken: found };
    if (again || isSettled(found, met)) break;
  }
  if (!met.some(isLikely)) met.push(...likelyUnderMasks(work, options));
  return { met, taken: best(met) };
};

/**
 * What reads as fabric beyond a doubt where something else was thought to lie: a swatch's own outline may pass for a card's. Looked at only where nothing likely
 * lies beside it; a true card shows no texture, and a look costs little.
 */
const likelyUnderMasks = (work: WorkImage, { maskOut = [], ...options }: StitchOptions): Found[] => {
  if (maskOut.length === 0) return [];
  for (const found of allReadings(work, { ...options, only: maskOut })) if (isLikely(found)) return [found];
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
  const lookAt = (image: WorkImage, shrink: number, without: Basis[]): Look => {
    const look = { work: image, hopeless: without, candidates: surveyed(image, options, shrink) };
    looks.push(look);
    return look;
  };
  const met = options.met ?? [];
  for (const shrink of shrinksFor(work, options.region)) {
    const first = best(met);
    if ((first !== undefined && isGoodEnough(first)) || isTired(options)) return;
    yield* likeliestIn(lookAt(work, shrink, hopeless), options);
    if (isTired(options)) return;
    dyeless ??= { ...work, image: withoutDye(work.image) };
    yield* likeliestIn(lookAt(dyeless, shrink, hopelessDyeless), options);
  }
  if (!isWorthSeconds(met)) return;
  for (const look of looks) yield* secondsIn(look, options);
}

/** Whether so much was looked at that what is left, the less likely, is not worth its time: something fair was read, or far too much. */
const isTired = ({ met = [], labour }: Places): boolean =>
  (labour?.stitches ?? 0) > (met.some(isFair) ? muchLabour : mostLabour);
/** Places for stitches, each counted every time that it is looked at: so many take 5 to 8 s. */
const muchLabour = 80_000;
/** With nothing fair read: a drawn marl was first read right after 140,000, a poor photo on a woven ground after 310,000. */
const mostLabour = 320_000;

/** What was done so far. */
interface Labour {
  /** Places for stitches that were looked at. */
  stitches: number;
}

/** A survey of a photo at one scale. */
interface Look {
  readonly work: WorkImage;
  readonly candidates: readonly Candidate[];
  /** Lattices that gave nothing before: left out, and added to. */
  readonly hopeless: Basis[];
}

const surveyed = (work: WorkImage, options: Places, shrink: number): Candidate[] => {
  options.onStage?.('pitch', 0);
  return survey(work, shrink, strideFor(work, shrink, options.region), allowedBy(options));
};

/** Reads the heaviest for as long as none of them is good enough, and what lies beside them where none is as good as not. */
function* likeliestIn(look: Look, options: Places): Generator<Found> {
  const candidates = look.candidates.filter(({ second }) => !second);
  const heaviest = worthReading(candidates);
  const others = elsewhere(candidates, heaviest, leastShare * areaOf(look.work));
  let likeliestWhole = 0;
  for (const candidate of [...heaviest, ...others]) {
    if (isTired(options)) return;
    if (likeliestWhole >= asGoodAsNot && others.includes(candidate)) return;
    let enough = false;
    for (const found of readingsAt(look, options, withKin(candidate, candidates))) {
      if (found.whole) likeliestWhole = Math.max(likeliestWhole, found.likelihood);
      enough ||= isGoodEnough(found);
      yield found;
    }
    if (enough) return;
  }
}

/** Reads the heaviest lattices that another outweighs at their own place. */
function* secondsIn(look: Look, options: Places): Generator<Found> {
  const seconds = worthReading(look.candidates.filter(({ second }) => second));
  for (const candidate of seconds) {
    if (isTired(options)) return;
    yield* readingsAt(look, options, withKin(candidate, look.candidates));
  }
}

function* readingsAt(look: Look, options: Places, candidate: Candidate): Generator<Found> {
  const { work, hopeless } = look;
  if (hopeless.some((basis) => basesDiffer(basis, candidate.basis) < againDiffer)) return;
  const onStage = options.onStage ?? (() => {});
  const onLook = (stitches: number): void => {
    if (options.labour !== undefined) options.labour.stitches += stitches;
  };
  const photoPx2 = areaOf(work);
  const least = options.region === null ? swatchShare * photoPx2 : 0;
  let likeliest = 0;
  const mayMatter = (part: FabricReading): boolean => {
    const judged = judge(part);
    const most = hopeOver * worthOf(part, judged, candidate.area / photoPx2);
    return judged.likelihood > noHope && most > mostWorthOf(options.met ?? []);
  };
  for (const reading of readingsOf(work, candidate, {
    allowed: allowedBy(options),
    mayMatter,
    onLook,
    onStage,
  })) {
    onStage('confidence', 0);
    const judged = judge(reading);
    const { pitchPx } = judged.finding;
    likeliest = Math.max(likeliest, judged.likelihood);
    const readPx2 = pitchPx === null ? 0 : reading.stitchCount * pitchPx.wale * pitchPx.course;
    const worth = worthOf(reading, judged, readPx2 / photoPx2);
    const whole = readPx2 > Math.max(wholeShare * candidate.area, least);
    yield { ...judged, reading, worth, whole };
  }
  if (likeliest < littleHope) hopeless.push(candidate.basis);
}

/** A part that is less likely than this is not read any further. */
const noHope = 0.01;
/** The whole may be so many times as clear as the part that was read first; what could not outweigh the best even then is not read over the whole. */
const hopeOver = 20;

/** A lattice that gave little hope is not read again with nearly the same steps. */
const againDiffer = 0.02;

/** A reading of less than this share of the fabric is not taken before another way was tried: it may be one stripe of many. */
const wholeShare = 0.25;
/** Nor is one that fills less of the photo: nobody photographs a swatch so small. */
const swatchShare = 0.02;

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
  /** What was read before: what could not outweigh it is not read over the whole. */
  readonly met?: readonly Found[];
  readonly labour?: Labour;
}

const allowedBy =
  ({ region, maskOut, only }: Places) =>
  (photo: Vec): boolean =>
    (region === null || isInside(photo, region)) &&
    !(maskOut ?? []).some((p) => isInside(photo, p)) &&
    (only === undefined || only.some((p) => isInside(photo, p)));

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
