import { type PhotoPoint, photoPoint } from './coordinates';
import type { GridEdit } from './edits';
import type { CountWindow, GridLine, LineFamily, StitchGrid } from './grid';
import {
  acrossOf,
  alongOf,
  blended,
  type FamilyFrame,
  familyFrame,
  linesOf,
  offsetsFrom,
  shifted,
} from './lineGeometry';
import { median } from './statistics';

/** What corrections change: the grid and the counted window. */
export interface GridState {
  readonly grid: StitchGrid;
  readonly window: CountWindow | null;
}

/** A line counts as meant when it lies within this many usual spacings: beyond half, the neighbour would be as near. */
const NEAR = 0.55;
/** A line is not added where one lies already within this many usual spacings. */
const TAKEN = 0.25;
/** Two lines further apart than this many usual spacings are not one. */
const JOINABLE = 1.3;
/** A line added outside the grid follows the way its neighbours fan out this far, then only their shape. */
const FAN_OUT = 1.5;

/** The lines of a family around the place of an edit. */
interface Surroundings {
  readonly frame: FamilyFrame;
  readonly lines: readonly GridLine[];
  /** Signed distance of each line from the place, px. */
  readonly offsets: readonly number[];
  /** Usual distance between neighbouring lines at the place, px; Infinity with a single line. */
  readonly spacing: number;
  /** Number of lines before the place. */
  readonly before: number;
}

const surroundings = (grid: StitchGrid, family: LineFamily, at: PhotoPoint): Surroundings | null => {
  const frame = familyFrame(grid, family);
  if (frame === null) return null;
  const lines = linesOf(grid, family);
  const offsets = offsetsFrom(frame, lines, at);
  const steps = offsets.slice(1).map((o, i) => Math.abs(o - (offsets[i] ?? 0)));
  return {
    frame,
    lines,
    offsets,
    spacing: steps.length === 0 ? Infinity : median(steps),
    before: offsets.filter((o) => o < 0).length,
  };
};

/** Index of the line meant by a place, or −1 when none is near. */
const meantLine = ({ offsets, spacing }: Surroundings): number => {
  let best = -1;
  offsets.forEach((offset, i) => {
    if (Math.abs(offset) < Math.abs(offsets[best] ?? Infinity)) best = i;
  });
  return best >= 0 && Math.abs(offsets[best] ?? Infinity) <= NEAR * spacing ? best : -1;
};

const withLines = (state: GridState, family: LineFamily, lines: readonly GridLine[]): GridState => ({
  ...state,
  grid: family === 'wale' ? { ...state.grid, wales: lines } : { ...state.grid, courses: lines },
});

/** An id that no line of the family has; the same one every time for the same lines. */
const freshId = (lines: readonly GridLine[], family: LineFamily): string => {
  const taken = new Set(lines.map((line) => line.id));
  let n = lines.length + 1;
  while (taken.has(`${family}-${n}`)) n += 1;
  return `${family}-${n}`;
};

const placedLine = (
  lines: readonly GridLine[],
  family: LineFamily,
  points: readonly PhotoPoint[],
): GridLine => ({ id: freshId(lines, family), kind: 'stitch', origin: 'placed', points });

/** Moves a line so that it runs exactly through a place. */
const through = (
  frame: FamilyFrame,
  points: readonly PhotoPoint[],
  at: PhotoPoint,
): readonly PhotoPoint[] => {
  const [offset = 0] = offsetsFrom(frame, [{ id: '', kind: 'stitch', origin: 'placed', points }], at);
  return shifted(frame, points, -offset);
};

/** The first line of a family: straight through the place, as long as the other family is wide. */
const firstLine = (
  frame: FamilyFrame,
  others: readonly GridLine[],
  at: PhotoPoint,
): readonly PhotoPoint[] => {
  const reach = others.flatMap(({ points }) => points.map((p) => alongOf(frame, p)));
  const here = alongOf(frame, at);
  const ends = [Math.min(...reach, here), Math.max(...reach, here)];
  return ends.map((t) => photoPoint(at.x + (t - here) * frame.tx, at.y + (t - here) * frame.ty));
};

const addLine = (state: GridState, family: LineFamily, at: PhotoPoint): GridState => {
  const around = surroundings(state.grid, family, at);
  if (around === null) return state;
  const { frame, lines, offsets, spacing, before } = around;
  const others = linesOf(state.grid, family === 'wale' ? 'course' : 'wale');
  if (lines.length === 0) {
    const points = firstLine(frame, others, at);
    return withLines(state, family, [placedLine(lines, family, points)]);
  }
  if (offsets.some((o) => (spacing === Infinity ? o === 0 : Math.abs(o) < TAKEN * spacing))) return state;
  // Between two lines the new one is shaped by both; outside, by the outermost two carried on.
  const inside = before > 0 && before < lines.length;
  const from = inside ? before - 1 : before === 0 ? 0 : lines.length - 1;
  const to = inside ? before : before === 0 ? 1 : lines.length - 2;
  const a = lines[from];
  if (a === undefined) return state;
  const b = lines[to];
  const [oa, ob] = [offsets[from] ?? 0, offsets[to] ?? 0];
  const share = oa === ob ? 0 : Math.max(oa / (oa - ob), -FAN_OUT);
  const shape = b === undefined ? a.points : blended(frame, a.points, b.points, share);
  const line = placedLine(lines, family, through(frame, shape, at));
  return withLines(state, family, lines.toSpliced(before, 0, line));
};

const removeLine = (state: GridState, family: LineFamily, at: PhotoPoint): GridState => {
  const around = surroundings(state.grid, family, at);
  const index = around === null ? -1 : meantLine(around);
  if (around === null || index < 0) return state;
  return withLines(state, family, around.lines.toSpliced(index, 1));
};

const moveLine = (state: GridState, family: LineFamily, from: PhotoPoint, to: PhotoPoint): GridState => {
  const around = surroundings(state.grid, family, from);
  const index = around === null ? -1 : meantLine(around);
  const line = around?.lines[index];
  if (around === null || line === undefined) return state;
  const moved: GridLine = { ...line, origin: 'placed', points: through(around.frame, line.points, to) };
  const rest = around.lines.toSpliced(index, 1);
  const place = offsetsFrom(around.frame, rest, to).filter((o) => o < 0).length;
  return withLines(state, family, rest.toSpliced(place, 0, moved));
};

const splitLine = (state: GridState, family: LineFamily, at: PhotoPoint): GridState => {
  const around = surroundings(state.grid, family, at);
  const index = around === null ? -1 : meantLine(around);
  const line = around?.lines[index];
  if (around === null || line === undefined) return state;
  const { frame, lines } = around;
  const previous = lines[index - 1] ?? null;
  const next = lines[index + 1] ?? null;
  if (previous === null && next === null) return state;
  // At the rim the missing neighbour is the mirror image of the one that is there.
  const toward = (neighbour: GridLine | null, mirror: GridLine | null): readonly PhotoPoint[] =>
    neighbour !== null
      ? blended(frame, line.points, neighbour.points, 0.25)
      : blended(frame, line.points, (mirror ?? line).points, -0.25);
  const first: GridLine = { ...line, origin: 'placed', points: toward(previous, next) };
  const second: GridLine = {
    ...line,
    id: freshId(lines, family),
    origin: 'placed',
    points: toward(next, previous),
  };
  return withLines(state, family, lines.toSpliced(index, 1, first, second));
};

const joinLines = (state: GridState, family: LineFamily, at: PhotoPoint): GridState => {
  const around = surroundings(state.grid, family, at);
  if (around === null) return state;
  const { frame, lines, offsets, spacing, before } = around;
  const a = lines[before - 1];
  const b = lines[before];
  if (a === undefined || b === undefined) return state;
  if ((offsets[before] ?? 0) - (offsets[before - 1] ?? 0) > JOINABLE * spacing) return state;
  const kind = a.kind === 'needleGap' && b.kind === 'needleGap' ? 'needleGap' : 'stitch';
  const joined: GridLine = { ...a, kind, origin: 'placed', points: blended(frame, a.points, b.points, 0.5) };
  return withLines(state, family, lines.toSpliced(before - 1, 2, joined));
};

const markNeedleGap = (state: GridState, at: PhotoPoint, gap: boolean): GridState => {
  const around = surroundings(state.grid, 'wale', at);
  const index = around === null ? -1 : meantLine(around);
  const line = around?.lines[index];
  const kind = gap ? 'needleGap' : 'stitch';
  if (around === null || line === undefined || line.kind === kind) return state;
  return withLines(state, 'wale', around.lines.toSpliced(index, 1, { ...line, kind }));
};

/** A line drawn by hand goes where its middle lies among the others. */
const placeLine = (state: GridState, family: LineFamily, points: readonly PhotoPoint[]): GridState => {
  const lines = linesOf(state.grid, family);
  const middle = points[points.length >> 1];
  if (points.length < 2 || middle === undefined) return state;
  const line = placedLine(lines, family, points);
  const frame = familyFrame(withLines(state, family, lines.length === 0 ? [line] : lines).grid, family);
  if (frame === null) return state;
  if (lines.length === 1) return withLines(state, family, inReadingOrder([...lines, line], family));
  const place = offsetsFrom(frame, lines, middle).filter((o) => o < 0).length;
  return withLines(state, family, lines.toSpliced(place, 0, line));
};

/** Two lines alone have no order yet: wales go left to right, courses top to bottom. */
const inReadingOrder = (lines: readonly GridLine[], family: LineFamily): readonly GridLine[] => {
  const frame = { tx: 0, ty: 0, nx: family === 'wale' ? 1 : 0, ny: family === 'wale' ? 0 : 1 };
  const middle = ({ points }: GridLine): number =>
    points.reduce((sum, p) => sum + acrossOf(frame, p), 0) / Math.max(points.length, 1);
  return lines.toSorted((a, b) => middle(a) - middle(b));
};

/**
 * The state after one correction. Nothing is changed in place; when the correction finds nothing near the place that it names, the very same state
 * comes back, so that corrections can be replayed on a grid that was detected again.
 */
export const applyEdit = (state: GridState, edit: GridEdit): GridState => {
  switch (edit.kind) {
    case 'addLine':
      return addLine(state, edit.family, edit.at);
    case 'removeLine':
      return removeLine(state, edit.family, edit.at);
    case 'moveLine':
      return moveLine(state, edit.family, edit.from, edit.to);
    case 'splitLine':
      return splitLine(state, edit.family, edit.at);
    case 'joinLines':
      return joinLines(state, edit.family, edit.at);
    case 'markNeedleGap':
      return markNeedleGap(state, edit.at, edit.gap);
    case 'placeLine':
      return placeLine(state, edit.family, edit.points);
    case 'setWindow':
      return { ...state, window: edit.window };
    case 'restoreLines':
      return withLines(state, edit.family, edit.lines);
  }
};

/**
 * The correction that takes `edit` back: applied to `applyEdit(before, edit)` it gives `before` again, line for line.
 */
export const invertEdit = (before: GridState, edit: GridEdit): GridEdit => {
  if (edit.kind === 'setWindow') return { kind: 'setWindow', window: before.window };
  const family = edit.kind === 'markNeedleGap' ? 'wale' : edit.family;
  return { kind: 'restoreLines', family, lines: linesOf(before.grid, family) };
};

/** All corrections in order, on what was detected. */
export const replayEdits = (detected: GridState, edits: readonly GridEdit[]): GridState =>
  edits.reduce(applyEdit, detected);
