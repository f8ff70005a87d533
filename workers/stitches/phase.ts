import type { Face } from '../../src/domain/grid';
import { cellPx } from './rectify';
import type { Channels } from './template';

/** Where the middle of a stitch lies relative to the template's middle, and which face the template shows. */
export interface Reading {
  readonly shift: { readonly x: number; readonly y: number };
  readonly face: Face;
  /** How clearly the two halves of a stitch lean against each other, 0 to 1. */
  readonly lean: number;
  /** Share of the edges that run along the courses, −1 (all along the wales) to 1. */
  readonly across: number;
}

/**
 * Reads one learnt stitch: channel 0 is lightness, 1 and 2 the direction of the yarn (cos 2θ and sin 2θ of the gradient).
 * On the knit face the left leg leans "\" and the right one "/", so that sin 2θ, averaged along the wale, runs through one full sine
 * wave across the stitch and crosses zero upwards in the middle of the V. On the purl face most edges run along the course.
 */
export const readTemplate = (template: Channels): Reading => {
  const { widthPx: w, heightPx: h, data, count } = template;
  let cosine = 0;
  let sine = 0;
  let across = 0;
  let energy = 0;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const k = (y * w + x) * count;
      const angle = (2 * Math.PI * (x + 0.5 - w / 2)) / cellPx.width;
      const odd = data[k + 2] as number;
      cosine += odd * Math.cos(angle);
      sine += odd * Math.sin(angle);
      across -= data[k + 1] as number;
      energy += Math.hypot(data[k + 1] as number, odd);
    }
  }
  const lean = (2 * Math.hypot(cosine, sine)) / (energy + 1e-9);
  const share = across / (energy + 1e-9);
  // odd(x) = sin(2π (x − x0) / width)  ⇒  x0 = −atan2(cosine, sine) · width / 2π.
  const x0 = (-Math.atan2(cosine, sine) * cellPx.width) / (2 * Math.PI);
  const face: Face = share > 0.15 ? 'purl' : share < 0 && lean > 0.15 ? 'knit' : 'unknown';
  return { shift: { x: lean > 0.05 ? x0 : 0, y: 0 }, face, lean, across: share };
};
