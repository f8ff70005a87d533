/** Marks nearer to each other than this, px of the picture that is worked on, are not told apart: two px are the least that a picture can show (Nyquist), and lenses blur. */
const leastApartPx = 2.5;

const pixels = (px: number): string => px.toFixed(1);

/**
 * What keeps the marks of a ruler that lies along a line from being read, and what to change.
 * @param apartPx about how far apart they stand, px of the picture that is worked on; null where that does not show either.
 * @param photoPxPerWorkPx px of the photo for each of those: she is told px of her photo.
 */
export const unreadMarks = (apartPx: number | null, photoPxPerWorkPx: number): string => {
  if (apartPx === null)
    return 'No row of marks was found between these points; put them where the marks begin, far apart. If they lie there, the marks are too small or too blurred in this photo: move the camera closer.';
  const apart = pixels(apartPx * photoPxPerWorkPx);
  return apartPx < leastApartPx
    ? `The marks of this ruler are only ${apart} px apart in the photo, and ${pixels(leastApartPx * photoPxPerWorkPx)} px are needed: move the camera closer, or show a shorter piece of the ruler.`
    : `The marks of this ruler are about ${apart} px apart in the photo, but too blurred or too pale to be told from each other: move the camera closer, hold it still, and see to even light.`;
};
