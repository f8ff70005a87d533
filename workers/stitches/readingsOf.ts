import type { Stage } from '../contract';
import type { WorkImage } from '../image';
import type { Basis } from './basis';
import { type NextBasis, nextBasis } from './finer';
import { lengthOf, type Vec } from './raster';
import { type FabricReading, type ReadingStart, readFabric } from './readFabric';
import { readUnits } from './readUnits';
import type { Candidate } from './survey';
import { leansDown, liesOnItsSide, loweredToStitches, onItsOtherSide } from './turned';

/** What a candidate is read by. */
export interface ReadingRules {
  /** Whether a place (photo px) may be fabric. */
  readonly allowed: (photo: Vec) => boolean;
  /** Whether a part that reads like this leaves any hope that the whole would change the answer. */
  readonly mayMatter: (part: FabricReading) => boolean;
  /** As for a reading (`ReadingStart`). */
  readonly onLook?: (stitches: number) => void;
  readonly onStage: (stage: Stage, share: number) => void;
}

/** A candidate as it stands, then divided finer for as long as a reading asks for it. */
export function* readingsOf(
  work: WorkImage,
  candidate: Candidate,
  { allowed, mayMatter, onLook, onStage }: ReadingRules,
): Generator<FabricReading> {
  let next: NextBasis | null = { basis: candidate.basis, repeat: false };
  for (let round = 0; round <= finerRounds && next !== null; round++) {
    if (lengthOf(next.basis.course) < leastStepPx * work.photoPxPerWorkPx) return;
    const start: ReadingStart = {
      ...candidate,
      basis: next.basis,
      allowed: (photo) => allowed(photo) && candidate.covers(photo),
      ...(onLook === undefined ? {} : { onLook }),
      onStage,
    };
    const read: Read | null = readHopefully(work, start, next.repeat, mayMatter);
    if (read === null || (next.repeat && leansDown(read.reading.template))) return;
    const { reading: first } = read;
    const onSide: boolean = !next.repeat && liesOnItsSide(start.basis, first.template);
    const lowered: Basis | null = onSide ? loweredToStitches(onItsOtherSide(start.basis)) : null;
    if (lowered !== null) {
      next = { basis: lowered, repeat: false };
      continue;
    }
    const turned: FabricReading | null = onSide ? readTurned(work, read, start, mayMatter) : null;
    const reading: FabricReading = turned ?? first;
    yield reading;
    const basis: Basis = turned === null ? next.basis : onItsOtherSide(next.basis);
    next = next.repeat || reading.repeats === null ? null : nextBasis(basis, reading.repeats);
  }
}

/**
 * Reads the part around the best seed first, and the whole only where that leaves some hope, in the way that gave most in the part: what repeats in a hopeless part
 * may still point to a better lattice.
 * @param repeat Whether the wale step is a whole repeat of unlike columns; where a part shows none, the whole does not either.
 */
const readHopefully = (
  work: WorkImage,
  start: ReadingStart,
  repeat: boolean,
  mayMatter: ReadingRules['mayMatter'],
): Read | null => {
  const readFrom = (from: ReadingStart): Read | null => {
    const reading = repeat ? readUnits(work, from) : readFabric(work, from);
    return reading === null ? null : { reading, from };
  };
  const part = partOf(start);
  if (part === null) return readFrom(start);
  const first = readFrom(part);
  if (first === null) return repeat ? null : readFrom(start);
  if (!mayMatter(first.reading)) return first;
  const whole = readFrom({ ...start, way: first.reading.way });
  return whole && { ...whole, from: start };
};

/** A reading and where it was read from. */
interface Read {
  readonly reading: FabricReading;
  readonly from: ReadingStart;
}

/** The start for the part around the best seed; null where the whole is hardly larger. */
const partOf = (start: ReadingStart): ReadingStart | null => {
  const [seed] = start.seeds;
  const { wale, course } = start.basis;
  const area = (2 * partReach) ** 2 * Math.abs(wale.x * course.y - wale.y * course.x);
  if (seed === undefined || (start.area ?? 0) < muchLarger * area) return null;
  const corner = (right: number, down: number): Vec => ({
    x: seed.x + partReach * (right * wale.x + down * course.x),
    y: seed.y + partReach * (right * wale.y + down * course.y),
  });
  const extent = [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
  return { ...start, extent, area, onStage: () => {} };
};

/** Stitches either way that are read first. */
const partReach = 14;
/** The whole must be this many times as large for its part to be read by itself. */
const muchLarger = 2;
/** The same lattice with wales and courses exchanged; null if it then reads clearly worse. Where a part was read and its turned lattice leaves hope, the whole is. */
const readTurned = (
  work: WorkImage,
  { reading, from }: Read,
  start: ReadingStart,
  mayMatter: ReadingRules['mayMatter'],
): FabricReading | null => {
  const basis = onItsOtherSide(start.basis);
  const turned = readFabric(work, { ...from, basis });
  if (turned === null || turned.stitchCount <= turnedShare * reading.stitchCount) return null;
  return from === start || !mayMatter(turned)
    ? turned
    : readFabric(work, { ...start, basis, way: turned.way });
};

/** Turned, a fabric shows at least this share of the stitches it showed before. */
const turnedShare = 0.6;

/** Steps shorter than so many work px show no stitch. */
const leastStepPx = 3;

/** A repeat of three courses and four needles is divided twice at most. */
const finerRounds = 2;
