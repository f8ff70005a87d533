import type { ScaleReference } from '../../../domain/measurement';
import type { LineColours } from '../../../ui/marks/paintGrid';
import { type Painter, pathThrough, strokeTwice } from '../../../ui/stage/painter';

/** An outline of three points or more is a closed figure. */
const outlinePaths = ({ outline }: ScaleReference): Path2D[] =>
  outline.map((line) => pathThrough(line, true));

/** A painter for the reference that is looked at, strong, and the other candidates, faint. */
export const referencePainter = (
  chosen: ScaleReference | null,
  others: readonly ScaleReference[],
  colours: LineColours,
): Painter => {
  const paths = chosen ? outlinePaths(chosen) : [];
  const rest = others.flatMap(outlinePaths);
  return (context, view) => {
    context.save();
    context.globalAlpha = 0.25;
    strokeTwice(context, rest, view, { core: colours.reference, halo: colours.halo, width: 1.2 });
    context.globalAlpha = 1;
    strokeTwice(context, paths, view, { core: colours.reference, halo: colours.halo, width: 1.6 });
    context.restore();
  };
};
