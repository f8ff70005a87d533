import type { PhotoHeader } from './header';
import type { PhotoQuality } from './quality';

/** Below this, fine detail is gone: a blur of more than two pixels. */
const SOFT_FINE_DETAIL = 0.15;
/** Below this, even the brightest places are dim. */
const DARK_LIGHTNESS = 75;
/** Above this share, plain white is more than a highlight or two. */
const BURNT_SHARE = 0.08;

/**
 * What the user should know about a photo before it is measured, one sentence each. Softness is only judged where the work
 * image shows the photo's own pixels; averaging down hides it, and then it does no harm.
 */
export const photoRemarks = (
  header: PhotoHeader,
  quality: PhotoQuality,
  photoPxPerWorkPx: number,
): string[] => {
  const remarks: string[] = [];
  if (header.animated) remarks.push('This file holds several pictures; the first one is measured.');
  if (header.inks) {
    remarks.push(
      'This photo is saved in printing colours (CMYK); its colours are converted and may look different.',
    );
  }
  if (quality.fineDetail < SOFT_FINE_DETAIL && photoPxPerWorkPx < 1.5) {
    remarks.push(
      'The photo looks soft: hold the camera still, tap the fabric to focus, and take it again if stitches are missed.',
    );
  }
  if (quality.brightLightness < DARK_LIGHTNESS) {
    remarks.push('The photo is dark: more light from the side makes the stitches easier to see.');
  }
  if (quality.burntShare > BURNT_SHARE) {
    remarks.push(
      'Parts of the photo are burnt out to plain white: less light, or no flash, shows the stitches there.',
    );
  }
  return remarks;
};
