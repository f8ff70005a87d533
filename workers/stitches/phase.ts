import type { Face } from '../../src/domain/grid';
import { cellPx } from './rectify';
import type { Channels } from './template';

/** Where the middle of a stitch lies relative to the template's middle, and which face the template shows. */
export interface Reading {
  readonly shift: { readonly x: number; readonly y: number };
  readonly face: Face;
  /** How clearly the two halves of a stitch lean against each other, 0 to 1. */
  readonly lean: number;
  /**
   * Likewise along the wale. A stitch is its own mirror image, left to right: in a right grid the leans of its halves cancel along each course, and next to
   * nothing is left of this.
   */
  readonly leanDown: number;
  /** How much more of the yarn's edges run along the course than along the wale, −1 to 1. */
  readonly alongCourse: number;
}

/**
 * Reads one learnt stitch: channel 0 is lightness, 1 and 2 the direction of the yarn (cos 2θ and sin 2θ of the gradient).
 * On the knit face the left leg leans "\" and the right one "/", so that sin 2θ, averaged along the wale, runs through one full sine
 * wave across the stitch and crosses zero upwards in the middle of the V. On the purl face most edges run along the course.
 */
export const readTemplate = (template: Channels): Reading => {
  const { widthPx: w, heightPx: h, data, count } = template;
  const lean = { cosine: 0, sine: 0 };
  const rise = { cosine: 0, sine: 0 };
  const down = { cosine: 0, sine: 0 };
  let across = 0;
  let energy = 0;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const k = (y * w + x) * count;
      const even = data[k + 1] as number;
      const odd = data[k + 2] as number;
      addWave(lean, odd, (x + 0.5 - w / 2) / cellPx.width);
      addWave(down, odd, (y + 0.5 - h / 2) / cellPx.height);
      addWave(rise, even, (y + 0.5 - h / 2) / cellPx.height);
      across -= even;
      energy += Math.hypot(even, odd);
    }
  }
  const share = across / (energy + 1e-9);
  const strengthOf = (wave: Wave): number => (2 * Math.hypot(wave.cosine, wave.sine)) / (energy + 1e-9);
  const clear = strengthOf(lean);
  const face: Face = share > 0.15 ? 'purl' : share < 0 && clear > 0.15 ? 'knit' : 'unknown';
  // odd(x) = sin(2π (x − x0))  ⇒  x0 = −atan2(cosine, sine) / 2π, in wales; even(y) is highest at atan2(sine, cosine) / 2π, in courses.
  const middle = -Math.atan2(lean.cosine, lean.sine) / (2 * Math.PI);
  const steepest = Math.atan2(rise.sine, rise.cosine) / (2 * Math.PI);
  const x = clear < 0.05 ? 0 : face === 'purl' ? nearest(middle + 0.5) : middle;
  const y = nearest(steepest - (face === 'purl' ? purlSteepest : knitSteepest));
  return {
    shift: { x: x * cellPx.width, y: y * cellPx.height },
    face,
    lean: clear,
    leanDown: strengthOf(down),
    alongCourse: share,
  };
};

/** Where, in courses below the middle of a stitch, its edges run steepest; measured on rendered fabric of known stitch positions. */
const knitSteepest = -0.06;
const purlSteepest = 0.5;

interface Wave {
  cosine: number;
  sine: number;
}

const addWave = (sum: Wave, value: number, turns: number): void => {
  sum.cosine += value * Math.cos(2 * Math.PI * turns);
  sum.sine += value * Math.sin(2 * Math.PI * turns);
};

/** The same place within half a step of zero. */
const nearest = (turns: number): number => turns - Math.round(turns);
