import type { Evenness, GaugeCell } from '../../../domain/evenness';
import { mean } from '../../../domain/statistics';
import { type Painter, pathThrough } from '../../../ui/stage/painter';

/** Which density the map over the photo shows. */
export type EvennessMap = 'walesPerMm' | 'coursesPerMm';

/** A deviation of this share from the mean, or more, gets the full colour. */
const FULL_SHARE = 0.06;

/** Tight and loose ends of the scale; blue against orange stays apart for every kind of colour sight (common practice). */
const tight = [46, 112, 196] as const;
const loose = [232, 119, 34] as const;

/** Colour of a deviation from the mean: blue where stitches are denser, orange where they are fewer, clear where even. */
export const evennessColour = (deviation: number): string => {
  const strength = Math.min(1, Math.abs(deviation) / FULL_SHARE);
  return `rgb(${(deviation > 0 ? tight : loose).join(' ')} / ${(0.1 + 0.62 * strength).toFixed(2)})`;
};

/** How far each cell's density lies from the mean of all, as a share; positive is denser (tighter). */
export const deviationsOf = (cells: readonly GaugeCell[], map: EvennessMap): readonly number[] => {
  const centre = mean(cells.map((cell) => cell[map]));
  return cells.map((cell) => cell[map] / centre - 1);
};

/** A painter for the local gauge: each patch of fabric in the colour of its deviation. */
export const evennessPainter = ({ cells }: Evenness, map: EvennessMap): Painter => {
  const deviations = deviationsOf(cells, map);
  const patches = cells.map((cell, i) => ({
    path: pathThrough(cell.corners, true),
    colour: evennessColour(deviations[i] ?? 0),
  }));
  return (context) => {
    for (const { path, colour } of patches) {
      context.fillStyle = colour;
      context.fill(path);
    }
  };
};
