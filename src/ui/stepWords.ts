import { usualStepNear } from '../domain/measuredStep';
import type { GridLines } from '../domain/measurement';
import { formatLength, MM_PER_INCH } from '../domain/units';

/** What is asked about a mat, by which of its lines the step runs between. */
export const gridQuestions: Readonly<Record<GridLines, string>> = {
  heavy: 'How far apart are the heavy lines of this mat?',
  neighbouring: 'How far apart are two neighbouring lines of this mat?',
  unclear: 'How far apart are two neighbouring lines of those that are drawn on the photo now?',
};

/** Whole inches and the fractions that rulers and mats are divided in, a tenth among them, as they are said; null for any other length. */
const inchWords = (mm: number): string | null => {
  if (Math.abs((10 * mm) / MM_PER_INCH - 1) < 1e-6) return '1/10 inch';
  let parts = (32 * mm) / MM_PER_INCH;
  if (parts < 0.5 || Math.abs(parts - Math.round(parts)) > 1e-6) return null;
  parts = Math.round(parts);
  let among = 32;
  while (parts % 2 === 0 && among > 1) {
    parts /= 2;
    among /= 2;
  }
  if (among > 1) return parts < among ? `${parts}/${among} inch` : null;
  return parts === 1 ? '1 inch' : `${parts} inches`;
};

/** A step as people say it: "1 inch", "1/16 inch", "1 cm", otherwise millimetres. */
export const lengthWords = (mm: number): string => {
  const inches = inchWords(mm);
  if (inches !== null) return inches;
  if (Math.abs(mm - 10) < 1e-6) return '1 cm';
  return Number.isInteger(mm) ? `${mm} mm` : formatLength(mm, 'mm');
};

/** The spacing of a mat's lines: what it is meant to be, and what it really measures where that was found out. */
export const stepWords = (mm: number): string => {
  const usual = usualStepNear(mm);
  return usual === null || Math.abs(mm - usual) < 1e-6
    ? lengthWords(mm)
    : `${lengthWords(usual)}, measured ${formatLength(mm, 'mm')}`;
};
