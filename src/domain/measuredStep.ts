import { formatLength, MM_PER_INCH } from './units';

/** Spacings that mats are ruled in, mm (common practice): inches, their halves and quarters, centimetres and halves. */
const usualStepsMm = [MM_PER_INCH, MM_PER_INCH / 2, MM_PER_INCH / 4, 2 * MM_PER_INCH, 10, 5, 20, 50];
/** Printed lines are off by a few thousandths (common practice); what is off by more than this share is another length. */
const mostOff = 0.01;

/** The spacing that a mat was meant to have whose lines measure `mm` apart; null when no usual one is near. */
export const usualStepNear = (mm: number): number | null => {
  const off = (usual: number): number => Math.abs(mm / usual - 1);
  const nearest = usualStepsMm.reduce((best, usual) => (off(usual) < off(best) ? usual : best));
  return off(nearest) <= mostOff ? nearest : null;
};

/**
 * The spacing of a mat's lines, mm, from what several spacings in a row measure together.
 * @param saidMm what the spacing was said to be.
 * @throws RangeError with a sentence for the user when this cannot be the same spacing.
 */
export const measuredStep = (saidMm: number, spacings: number, togetherMm: number): number => {
  if (!Number.isInteger(spacings) || spacings < 1)
    throw new RangeError('Count the spacings from line to line: a whole number such as 5.');
  const stepMm = togetherMm / spacings;
  if (!(Math.abs(stepMm / saidMm - 1) <= mostOff)) {
    const expected = formatLength(spacings * saidMm, 'mm');
    throw new RangeError(
      `${spacings} spacings should be about ${expected}; no mat is off by so much. Count them and measure again.`,
    );
  }
  return stepMm;
};
