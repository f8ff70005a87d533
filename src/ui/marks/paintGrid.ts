import { halfPlanesOf } from '../../domain/countWindow';
import type { CountWindow, GridLine, LineFamily, StitchGrid } from '../../domain/grid';
import { type Painter, pathsThrough, pathThrough, strokeTwice } from '../stage/painter';
import { partLine } from './partLine';

/** Colours of the lines, read from the theme once a drawing. */
export interface LineColours {
  readonly halo: string;
  readonly wale: string;
  readonly course: string;
  readonly chosen: string;
  readonly reference: string;
  readonly window: string;
}

/** The theme's line colours; the fallbacks are for a page whose style sheet has not arrived. */
export const lineColours = (element: Element): LineColours => {
  const style = getComputedStyle(element);
  const read = (name: string, fallback: string): string => style.getPropertyValue(name).trim() || fallback;
  return {
    halo: read('--line-halo', 'rgb(14 17 20 / 78%)'),
    wale: read('--line-wale', '#ffe08a'),
    course: read('--line-course', '#a8e6f5'),
    chosen: read('--line-chosen', '#ff7a45'),
    reference: read('--line-reference', '#c9f2b4'),
    window: read('--line-window', '#ffffff'),
  };
};

interface GridPicture {
  readonly grid: StitchGrid;
  readonly window: CountWindow | null;
  /** The family being corrected is drawn strong, the other faint; null draws both alike. */
  readonly active: LineFamily | null;
  readonly chosen: { readonly family: LineFamily; readonly line: GridLine } | null;
  /** A line that would be added here. */
  readonly ghost: GridLine | null;
  readonly pitchPx: { readonly wale: number; readonly course: number } | null;
  readonly colours: LineColours;
}

const FAINT = 0.45;
const OUTSIDE = 0.3;

/** Width of a line's core, CSS px: thin where lines stand close on screen, so that the yarn stays visible between them. */
const coreWidth = (pitchOnScreen: number): number => Math.min(2, Math.max(0.7, pitchOnScreen * 0.11));

/** Paths of some lines: what of them lies in the counted window, and the rest. */
const partedPaths = (lines: readonly GridLine[], window: CountWindow | null) => {
  if (!window) return { inside: pathsThrough(lines.map(({ points }) => points)), outside: [] };
  const planes = halfPlanesOf(window.corners);
  const parted = lines.map(({ points }) => partLine(points, planes));
  return {
    inside: pathsThrough(parted.flatMap(({ inside }) => inside)),
    outside: pathsThrough(parted.flatMap(({ outside }) => outside)),
  };
};

/**
 * A painter for the stitch lines: inside the counted window at full strength, outside it faint. The lines are cut at the window once and not
 * clipped in every drawing, which takes a canvas several times as long.
 */
export const gridPainter = (picture: GridPicture): Painter => {
  const { grid, window, active, chosen, ghost, colours } = picture;
  const families = (['course', 'wale'] as const).map((family) => {
    const lines = family === 'wale' ? grid.wales : grid.courses;
    const ofKind = (kind: GridLine['kind']) =>
      partedPaths(
        lines.filter((line) => line.kind === kind),
        window,
      );
    return { family, stitches: ofKind('stitch'), gaps: ofKind('needleGap') };
  });
  const frame = window && pathThrough(window.corners, true);
  const chosenPath = chosen && pathThrough(chosen.line.points);
  const ghostPath = ghost && pathThrough(ghost.points);

  return (context, view) => {
    const drawFamilies = (part: 'inside' | 'outside', strength: number): void => {
      for (const { family, stitches, gaps } of families) {
        const strong = active === null || active === family;
        const pitch = (picture.pitchPx?.[family] ?? 24) * view.scale;
        const style = { core: colours[family], halo: colours.halo, width: coreWidth(pitch) };
        context.globalAlpha = strength * (strong ? 1 : FAINT);
        strokeTwice(context, stitches[part], view, style);
        context.setLineDash([4 / view.scale, 5 / view.scale]);
        strokeTwice(context, gaps[part], view, style);
        context.setLineDash([]);
      }
      context.globalAlpha = 1;
    };
    context.save();
    drawFamilies('outside', OUTSIDE);
    drawFamilies('inside', 1);
    if (frame) {
      strokeTwice(context, [frame], view, { core: colours.window, halo: colours.halo, width: 2 });
    }
    const bold = { core: colours.chosen, halo: colours.halo, width: 3 };
    if (chosenPath) strokeTwice(context, [chosenPath], view, bold);
    if (ghostPath) {
      context.setLineDash([7 / view.scale, 6 / view.scale]);
      strokeTwice(context, [ghostPath], view, bold);
      context.setLineDash([]);
    }
    context.restore();
  };
};
