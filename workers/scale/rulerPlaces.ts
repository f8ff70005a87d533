import type { LineSighting } from '../../src/domain/planeFitCovariance';
import { periodByClasses } from './rulerClasses';
import { heightsByDepth } from './rulerDepths';
import type { Peak } from './rulerNumbering';
import { longPeriodOf } from './rulerPattern';
import { brightnessAt, halfMarkOf, type MarkRow } from './rulerRow';
import { measureSide } from './sides';

/** Crests of a sampled profile, sub-sample, in the units of `step`. */
export const peaksOf = (values: readonly number[], step: number, least: number): Peak[] => {
  const out: Peak[] = [];
  for (let i = 2; i + 2 < values.length; i++) {
    const [a, b, c] = [values[i - 1] ?? 0, values[i] ?? 0, values[i + 1] ?? 0];
    if (!(b > least && b > a && b >= c)) continue;
    const bend = a - 2 * b + c;
    out.push({ t: (i + (bend < 0 ? (a - c) / (2 * bend) : 0)) * step, height: b });
  }
  return out;
};

/** Value below which the share `q` of the values lies. */
export const quantile = (values: readonly number[], q: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(q * values.length))] ?? 0;

/** Share of a mark's length along which its place is taken. */
const ownShare = 0.9;
/** Shares of the marks' lengths that are about those of the short ones. */
const shortShare = 0.15;

/** Length that the longest marks are cut to, px, that of the next shorter ones: numerals stand beyond the longest and may go on as if they were marks. */
const freeOfNumerals = (lengths: ReadonlyMap<number, number>, longPeriod: number | null): number =>
  quantile([...lengths.values()], longPeriod === null ? shortShare : 1 - 1.5 / longPeriod);

/** So many places are kept of every mark, each the mean of a stretch of it: a fit to many more says the same and takes its time. */
const placesPerMark = 4;

const joinedPlaces = (
  found: readonly { readonly seen: LineSighting; readonly off: number }[],
): LineSighting[] => {
  const byMark = new Map<number, { seen: LineSighting; off: number }[]>();
  for (const place of found) {
    const own = byMark.get(place.seen.index);
    if (own === undefined) byMark.set(place.seen.index, [place]);
    else own.push(place);
  }
  return [...byMark.values()].flatMap((places) => {
    places.sort((a, b) => a.off - b.off);
    const count = Math.min(placesPerMark, places.length);
    return Array.from({ length: count }, (_, k): LineSighting => {
      const from = Math.floor((k * places.length) / count);
      const part = places.slice(from, Math.floor(((k + 1) * places.length) / count));
      const mean = (value: (s: LineSighting) => number): number =>
        part.reduce((sum, { seen }) => sum + value(seen) / part.length, 0);
      return {
        ...(part[0] ?? (places[0] as { seen: LineSighting })).seen,
        x: mean((s) => s.x),
        y: mean((s) => s.y),
      };
    });
  });
};

/** What the marks of a row say, each followed along itself. */
export interface FollowedMarks {
  readonly sightings: LineSighting[];
  /** How far in each one reaches, px. */
  readonly lengths: ReadonlyMap<number, number>;
  /** Where each one begins: its place along the row and how far in, px. */
  readonly begins: readonly { readonly t: number; readonly off: number }[];
  /** Every how many a longer one comes. */
  readonly longPeriod: number | null;
}

/** So many marks to either side tell how far apart marks stand at one of them. */
const besides = 5;
/** Perspective is strong where the nearest steps are so many times as long as the furthest. */
const strong = 1.4;
/** So many marks are the nearer half of a row at least, or it tells nothing on its own. */
const leastNear = 20;

/**
 * Every how many marks a longer one comes. Perspective makes far marks shorter, so lengths are compared in local steps; where it is strong, far marks are too small
 * to be followed, and the half of the row whose marks stand furthest apart is asked.
 */
const periodTold = (
  lengths: ReadonlyMap<number, number>,
  marks: ReadonlyMap<number, Peak>,
): number | null => {
  const numbers = [...lengths.keys()].sort((a, b) => a - b);
  const steps = new Map(
    numbers.map((k, i) => {
      const from = numbers[Math.max(0, i - besides)] ?? k;
      const to = numbers[Math.min(numbers.length - 1, i + besides)] ?? k;
      return [k, Math.abs(((marks.get(to)?.t ?? 0) - (marks.get(from)?.t ?? 0)) / Math.max(1, to - from))];
    }),
  );
  const all = [...steps.values()];
  const [least, usual, most] = [quantile(all, 0.05), quantile(all, 0.5), quantile(all, 0.95)];
  const alike = new Map([...lengths].map(([k, length]) => [k, (length * usual) / (steps.get(k) || usual)]));
  const told = longPeriodOf(alike);
  if (told !== null || numbers.length < 2 * leastNear || most < strong * least) return told;
  return longPeriodOf(new Map([...alike].filter(([k]) => (steps.get(k) ?? 0) > usual)));
};

/** Marks are followed outwards no further than this beyond the line that they were met on, px. */
const outwardPx = 40;

/** Points along every mark, outwards and inwards from where it was met. */
export const placesAlong = (
  f: MarkRow,
  marks: ReadonlyMap<number, Peak>,
  metPx: number,
  mostPx: number,
): FollowedMarks => {
  const found: { seen: LineSighting; off: number }[] = [];
  const lengths = new Map<number, number>();
  const begins: { t: number; off: number }[] = [];
  for (const [index, mark] of marks) {
    lengths.set(index, metPx);
    for (const direction of [1, -1]) {
      let centre = mark.t;
      let reached = { t: mark.t, off: metPx };
      for (
        let off = direction > 0 ? metPx : metPx - 2;
        off > -outwardPx && off < mostPx;
        off += 2 * direction
      ) {
        const t = nearestCrest(f, centre, off, 0.4 * mark.height);
        if (t === null) break;
        centre += 0.5 * (t - centre);
        reached = { t, off };
        const o = off * f.side;
        const seen: LineSighting = {
          x: f.x + t * f.dx - o * f.dy,
          y: f.y + t * f.dy + o * f.dx,
          axis: 0,
          index,
          group: index,
        };
        found.push({ seen, off });
      }
      if (direction > 0) lengths.set(index, reached.off);
      else begins.push(reached);
    }
  }
  const longPeriod =
    periodTold(lengths, marks) ?? (f.isFaint ? periodByClasses(heightsByDepth(f, marks, metPx)) : null);
  const most = freeOfNumerals(lengths, longPeriod);
  const own = (index: number): number => Math.max(metPx, ownShare * Math.min(most, lengths.get(index) ?? 0));
  return {
    sightings: joinedPlaces(found.filter(({ seen, off }) => off > 1 && off <= own(seen.index))),
    lengths,
    begins,
    longPeriod,
  };
};

/** How far to either side of where a mark is expected it is looked for, px, and at how many places a px. */
const reachPx = 4;
const perPx = 2;
const across = new Float64Array(2 * reachPx * perPx + 1);

/** Where a mark goes on, `off` px into the ruler; null where it does not. One of these is asked for at every step along every mark, so nothing is made anew. */
const nearestCrest = (f: MarkRow, centre: number, off: number, least: number): number | null => {
  const half = Math.round(halfMarkOf(f.spacingPx) * perPx);
  const beside = Math.min(1.5, 0.4 * (f.spacingPx ?? 10)) * perPx;
  const middle = reachPx * perPx;
  for (let i = 0; i < across.length; i++)
    across[i] = f.sign * brightnessAt(f, centre - reachPx + i / perPx, off);
  const standsOut = (i: number): number =>
    (across[i] as number) - ((across[i - half] as number) + (across[i + half] as number)) / 2;
  let best: number | null = null;
  for (let i = Math.ceil(middle - beside - 1); i <= middle + beside + 1; i++) {
    const [a, b, c] = [standsOut(i - 1), standsOut(i), standsOut(i + 1)];
    if (!(b > least && b > a && b >= c)) continue;
    const place = i + (a - c) / (2 * (a - 2 * b + c)) - middle;
    if (Math.abs(place) <= beside && (best === null || Math.abs(place) < Math.abs(best))) best = place;
  }
  return best === null ? null : centre + best / perPx;
};

/** Group of the places on the ruler's edge; marks are grouped by their numbers. */
const edgeGroup = 1e6;

/** How far off the line the marks were met on the ruler's edge may lie, px, and the share of it that must show. */
const edgeSearchPx = 8;
const leastEdgeSeen = 0.6;
/** So many places on the edge are handed on. */
const edgePlaces = 12;

/**
 * Places on the ruler's edge, square to which its marks are printed. The line that the marks were met on follows the edge only roughly, and a hundredth of a
 * radian between it and square to the marks would be taken for several hundredths of tilt: where the edge is not seen, only one place ties the plane down.
 */
export const onEdge = (
  f: MarkRow,
  marks: ReadonlyMap<number, Peak>,
  first: number,
  last: number,
): LineSighting[] => {
  const [from, to] = [marks.get(first)?.t ?? 0, marks.get(last)?.t ?? 0].sort((p, q) => p - q);
  const at = (t: number, o: number): { x: number; y: number } => ({
    x: f.x + t * f.dx - o * f.side * f.dy,
    y: f.y + t * f.dy + o * f.side * f.dx,
  });
  const [a, b] = [from ?? 0, to ?? 0];
  const options = { searchPx: edgeSearchPx, leaveOut: 0.01, footPx: 0 };
  const edge = measureSide([f.image], at(a, 0), at(b, 0), at((a + b) / 2, 20), options);
  const places =
    edge === null || edge.seenShare < leastEdgeSeen
      ? [at((a + b) / 2, 0)]
      : edge.places.filter((_, i) => i % Math.max(1, Math.floor(edge.places.length / edgePlaces)) === 0);
  return places.map(({ x, y }) => ({ x, y, axis: 1, index: 0, group: edgeGroup }));
};
