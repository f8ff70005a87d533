import type { PhotoPoint } from '../../../domain/coordinates';
import type { ScaleReference } from '../../../domain/measurement';
import type { LineColours } from '../../../ui/marks/paintGrid';
import { type Painter, pathOfAll, strokeTwice } from '../../../ui/stage/painter';

/** An outline of three points or more is a closed figure; its first point comes again at its end. */
const closed = (line: readonly PhotoPoint[]): readonly PhotoPoint[] => {
  const [first] = line;
  return line.length >= 3 && first ? [...line, first] : line;
};

/** A painter for the reference that is looked at, strong, and the other candidates, faint. */
export const referencePainter = (
  chosen: ScaleReference | null,
  others: readonly ScaleReference[],
  colours: LineColours,
): Painter => {
  const path = chosen && pathOfAll(chosen.outline.map(closed));
  const rest = pathOfAll(others.flatMap((reference) => reference.outline.map(closed)));
  return (context, view) => {
    context.save();
    context.globalAlpha = 0.25;
    strokeTwice(context, rest, view, { core: colours.reference, halo: colours.halo, width: 1.2 });
    context.globalAlpha = 1;
    if (path) strokeTwice(context, path, view, { core: colours.reference, halo: colours.halo, width: 1.6 });
    context.restore();
  };
};
