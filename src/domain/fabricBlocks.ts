import { crossingsOf } from './crossings';
import type { StitchGrid } from './grid';
import { median } from './statistics';

/** Stitches of a grid that tell how it lies: whole-number place about the middle of all, and place in the photo. */
export interface PlacedStitch {
  readonly wale: number;
  readonly course: number;
  readonly x: number;
  readonly y: number;
  /** Which block of neighbouring stitches it belongs to. */
  readonly block: number;
}

/** A grid's stitches, in blocks of neighbours. */
export interface BlockedStitches {
  readonly stitches: readonly PlacedStitch[];
  readonly blockCount: number;
}

/** Blocks that a fabric is divided into along either direction. */
const mostBlocks = 7;
const leastBlocks = 4;
/** Lines at the edges, which roll and stretch, are left out: this share of all on either side. */
const edgeShare = 0.06;
/** With fewer stitches nothing is told. */
const leastStitches = 60;

/** The stitches of a grid but those at its edges, each in its block; null with too few to tell anything by. */
export const blockedStitches = (grid: StitchGrid): BlockedStitches | null => {
  const { waleCount, courseCount, x, y } = crossingsOf(grid);
  const across = Math.min(mostBlocks, Math.floor(waleCount / 2));
  const along = Math.min(mostBlocks, Math.floor(courseCount / 2));
  if (across < leastBlocks || along < leastBlocks) return null;
  const [fromWale, fromCourse] = [waleCount, courseCount].map((n) => Math.round(edgeShare * n)) as [
    number,
    number,
  ];
  const [wales, courses] = [waleCount - 2 * fromWale, courseCount - 2 * fromCourse];
  const stitches: PlacedStitch[] = [];
  for (let w = 0; w < wales; w += 1) {
    if (grid.wales[fromWale + w]?.kind === 'needleGap') continue;
    for (let c = 0; c < courses; c += 1) {
      const at = (fromWale + w) * courseCount + fromCourse + c;
      if (Number.isNaN(x[at])) continue;
      const block = Math.floor((w * across) / wales) * along + Math.floor((c * along) / courses);
      stitches.push({
        wale: w - (wales - 1) / 2,
        course: c - (courses - 1) / 2,
        x: x[at] as number,
        y: y[at] as number,
        block,
      });
    }
  }
  return stitches.length < leastStitches ? null : { stitches, blockCount: across * along };
};

/** The parallelogram that most nearly is the cell of an even fabric: its two sides, and where the stitch (0, 0) lies. */
export interface EvenCell {
  readonly origin: readonly [number, number];
  readonly wale: readonly [number, number];
  readonly course: readonly [number, number];
}

/** Least squares through all stitches; null when they lie on one line. */
export const evenCell = (stitches: readonly PlacedStitch[]): EvenCell | null => {
  const n = stitches.length;
  const sum = { w: 0, c: 0, x: 0, y: 0, ww: 0, wc: 0, cc: 0, wx: 0, wy: 0, cx: 0, cy: 0 };
  for (const { wale: w, course: c, x, y } of stitches) {
    sum.w += w / n;
    sum.c += c / n;
    sum.x += x / n;
    sum.y += y / n;
    sum.ww += w * w;
    sum.wc += w * c;
    sum.cc += c * c;
    sum.wx += w * x;
    sum.wy += w * y;
    sum.cx += c * x;
    sum.cy += c * y;
  }
  const [ww, wc, cc] = [sum.ww - n * sum.w * sum.w, sum.wc - n * sum.w * sum.c, sum.cc - n * sum.c * sum.c];
  const [wx, wy] = [sum.wx - n * sum.w * sum.x, sum.wy - n * sum.w * sum.y];
  const [cx, cy] = [sum.cx - n * sum.c * sum.x, sum.cy - n * sum.c * sum.y];
  const determinant = ww * cc - wc * wc;
  if (!(determinant > 1e-9 * ww * cc)) return null;
  const wale = [(wx * cc - cx * wc) / determinant, (wy * cc - cy * wc) / determinant] as const;
  const course = [(cx * ww - wx * wc) / determinant, (cy * ww - wy * wc) / determinant] as const;
  const origin = [
    sum.x - sum.w * wale[0] - sum.c * course[0],
    sum.y - sum.w * wale[1] - sum.c * course[1],
  ] as const;
  return { origin, wale, course };
};

/** A block's place on an even fabric, and how far its stitches lie off it, along courses and along wales, in the unit of the places. */
export interface BlockOffset {
  /** Along the courses and along the wales, from the middle. */
  readonly across: number;
  readonly along: number;
  readonly offAcross: number;
  readonly offAlong: number;
}

/** Blocks with less than this share of the usual number of stitches are passed over. */
const leastFilled = 0.3;

/** How far each block lies off the even fabric, by the median of its stitches. */
export const blockOffsets = (
  { stitches, blockCount }: BlockedStitches,
  { origin, wale, course }: EvenCell,
): BlockOffset[] => {
  const [wLength, cLength] = [Math.hypot(...wale), Math.hypot(...course)];
  const determinant = wale[0] * course[1] - wale[1] * course[0];
  const blocks = Array.from({ length: blockCount }, () => ({
    wale: 0,
    course: 0,
    offAcross: [] as number[],
    offAlong: [] as number[],
  }));
  for (const { wale: w, course: c, x, y, block } of stitches) {
    const own = blocks[block];
    if (own === undefined) continue;
    const [dx, dy] = [x - origin[0], y - origin[1]];
    own.wale += w;
    own.course += c;
    own.offAcross.push(((dx * course[1] - dy * course[0]) / determinant - w) * wLength);
    own.offAlong.push(((wale[0] * dy - wale[1] * dx) / determinant - c) * cLength);
  }
  const least = (leastFilled * stitches.length) / blockCount;
  return blocks.flatMap((b) => {
    const n = b.offAcross.length;
    if (n < least) return [];
    return [
      {
        across: (b.wale / n) * wLength,
        along: (b.course / n) * cLength,
        offAcross: median(b.offAcross),
        offAlong: median(b.offAlong),
      },
    ];
  });
};
