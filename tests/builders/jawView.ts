import type { JawView } from '../../workers/scale/jawProfile';

type Colour = readonly [number, number, number];

/** Strips across a jaw's edge that runs upright through a place, all alike: so many half px from `fromPx` on, each of the colour that lies there (px from the edge, outside first). */
export const jawViewOf = (
  tap: JawView['tap'],
  { fromPx, samples }: Pick<JawView, 'fromPx' | 'samples'>,
  colourAt: (px: number) => Colour,
): JawView => {
  const strip = new Float64Array(3 * samples);
  for (let i = 0; i < samples; i++) strip.set(colourAt(fromPx + i / 2), 3 * i);
  return {
    tap,
    along: { x: 0, y: 1 },
    across: { x: 1, y: 0 },
    stripsAt: [-12, -4, 4, 12],
    strips: [strip, strip, strip, strip],
    fromPx,
    samples,
  };
};
