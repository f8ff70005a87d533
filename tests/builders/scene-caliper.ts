import { noise2 } from './fabric-noise';
import { lineCover } from './scene-ground';

/** Length of the long jaws below the beam and their width, the beam's width, and how far it reaches beyond the jaws, mm (common practice for 150 mm calipers). */
const JAW_MM = 40;
const JAW_WIDTH_MM = 9;
const BEAM_WIDTH_MM = 16;
const BEAM_BEYOND_MM = 110;
const SLIDER_MM = 34;

const box = (x: number, y: number, left: number, top: number, right: number, bottom: number): number =>
  Math.max(left - x, x - right, top - y, y - bottom);

/** Half the box round a caliper that is opened so far, mm, about the middle between its jaws. */
export const caliperReachMm = (openingMm: number): [number, number] => [
  openingMm / 2 + BEAM_BEYOND_MM,
  JAW_MM / 2 + BEAM_WIDTH_MM,
];

/** Height of a jaw's edge about its middle that is straight and free, mm. */
export const jawEdgeMm = JAW_MM - 6;

/** Distance to the outline, mm, negative inside: a beam with a jaw at either end of the opening that tapers towards its tip. */
export const caliperOutline = (x: number, y: number, openingMm: number): number => {
  const half = openingMm / 2;
  const top = -JAW_MM / 2;
  const taper = (0.5 * (y - top) * JAW_WIDTH_MM) / JAW_MM;
  const fixed = box(x, y, -half - JAW_WIDTH_MM + taper, top, -half, JAW_MM / 2);
  const moving = box(x, y, half, top, half + JAW_WIDTH_MM - taper, JAW_MM / 2);
  const beam = box(x, y, -half - JAW_WIDTH_MM, top - BEAM_WIDTH_MM, half + BEAM_BEYOND_MM, top);
  const slider = box(x, y, half, top - BEAM_WIDTH_MM - 1, half + SLIDER_MM, top + 2);
  return Math.min(fixed, moving, beam, slider);
};

/** Brightness of the metal beside its colour: a brushed grain, and the beam's scale. */
export const caliperPaint = (x: number, y: number, openingMm: number, spotMm: number): number => {
  const grain = 1 + 0.05 * noise2(x * 0.7, y * 8) + 0.05 * noise2(x / 25, y / 9);
  const fromBeam = y + JAW_MM / 2;
  const onScale = fromBeam < -1 && fromBeam > -5 && x > -openingMm / 2 + 2;
  const tick = onScale ? lineCover(x - Math.round(x), 0.15, spotMm) : 0;
  return grain * (1 - 0.8 * tick);
};
