import type { MeasuredSide } from './sides';

/** Differences of lightness count this much beside those of hue: light falls off, and shadows cross a thing. */
const lightnessShare = 0.6;
/** Darker than this, as a share of white, a colour's hue is noise. */
const darkest = 0.003;
/** Pixel values stand for about this power of light (IEC 61966-2-1, sRGB, as a whole). */
const gamma = 2.2;

type Colour = readonly number[];

const lightOf = (colour: Colour): number[] => colour.map((v) => (Math.max(0, v) / 255) ** gamma);

const lnLight = (colour: Colour): number[] => lightOf(colour).map((v) => Math.log(Math.max(darkest, v)));

const apart = (a: Colour, b: Colour): number => {
  const off = a.map((v, c) => v - (b[c] ?? 0));
  const lighter = off.reduce((s, v) => s + v, 0) / off.length;
  return Math.hypot(...off.map((v) => v - lighter), lightnessShare * lighter);
};

const meanOf = (colours: readonly Colour[]): number[] =>
  [0, 1, 2].map((c) => colours.reduce((s, v) => s + (v[c] ?? 0), 0) / Math.max(1, colours.length));

/** How much nearer a colour is to those of its own kind than to the others: 1 the same as its own, 0 as near to both, −1 the same as the others. */
const belongs = (colour: Colour, own: Colour, other: Colour): number => {
  const [near, far] = [apart(colour, own), apart(colour, other)];
  return (far - near) / (near + far || 1);
};

/** The step from ground to face in light, without its size; it stays what it is where glare lies over both. */
const stepOf = (face: Colour, ground: Colour): number[] => {
  const [bright, behind] = [lightOf(face), lightOf(ground)];
  const step = bright.map((v, c) => v - (behind[c] ?? 0));
  const size = Math.hypot(...step) || 1;
  return step.map((v) => v / size);
};

/** How nearly two steps go the same way: 1 the same, −1 when they are 60° apart or more. */
const sameWay = (a: Colour, b: Colour): number => {
  const cosine = a.reduce((sum, v, c) => sum + v * (b[c] ?? 0), 0) / (Math.hypot(...b) || 1);
  return Math.max(-1, 4 * cosine - 3);
};

/**
 * Whether a thing's sides part the same face from the same ground: the least, over the sides, of how well face and ground beside it belong to those beside the other
 * sides or step from one to the other in the same way, −1 to 1. Sides that were put together from lines of different things have the one's face where the other has
 * its ground.
 * @returns null where the colours beside a side are not known.
 */
export const sidesAlike = (sides: readonly MeasuredSide[]): number | null => {
  const seen = sides.flatMap(({ colours }) =>
    colours === undefined
      ? []
      : [
          {
            face: lnLight(colours.face),
            ground: lnLight(colours.ground),
            step: stepOf(colours.face, colours.ground),
          },
        ],
  );
  if (seen.length < sides.length) return null;
  const all = seen.map(({ face, ground, step }, k) => {
    const others = seen.filter((_, i) => i !== k);
    const faces = meanOf(others.map((s) => s.face));
    const grounds = meanOf(others.map((s) => s.ground));
    const colours = (belongs(face, faces, grounds) + belongs(ground, grounds, faces)) / 2;
    return Math.max(colours, sameWay(step, meanOf(others.map((s) => s.step))));
  });
  return Math.min(...all);
};
