import type { ScaleReference } from '../../../domain/measurement';
import type { LineColours } from '../../../ui/marks/paintGrid';
import { type Painter, pathOfAll, strokeTwice } from '../../../ui/stage/painter';

/** A painter for the reference that is looked at, strong, and the other candidates, faint. */
export const referencePainter = (
  chosen: ScaleReference | null,
  others: readonly ScaleReference[],
  colours: LineColours,
): Painter => {
  const path = chosen && pathOfAll(chosen.outline);
  const rest = pathOfAll(others.flatMap((reference) => reference.outline));
  return (context, view) => {
    context.save();
    context.globalAlpha = 0.25;
    strokeTwice(context, rest, view, { core: colours.reference, halo: colours.halo, width: 1.2 });
    context.globalAlpha = 1;
    if (path) strokeTwice(context, path, view, { core: colours.reference, halo: colours.halo, width: 1.6 });
    context.restore();
  };
};
