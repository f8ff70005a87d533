import type { GridLines } from '../../src/domain/measurement';
import type { GridReading, LineLevels, ReadingDoubt } from './heavyLines';

const ordinal = (n: number): string =>
  ({ 2: 'second', 3: 'third', 4: 'fourth', 5: 'fifth', 8: 'eighth', 10: 'tenth' })[n] ?? `${n}th`;

/** Which lines the step of a reading runs between. */
export const linesOf = (reading: GridReading, doubt: ReadingDoubt | null): GridLines =>
  doubt !== null ? 'unclear' : reading.every > 1 ? 'heavy' : 'neighbouring';

/** What was found, in words: the lines that are meant and how they stand to the others. */
export const sentenceFor = (
  levels: LineLevels,
  reading: GridReading,
  doubt: ReadingDoubt | null,
  pitchMm: number | null,
): string => {
  if (doubt === 'print') {
    const step =
      pitchMm === null
        ? 'How far apart are two neighbouring lines of those that are drawn?'
        : `The drawn lines are taken to be ${Number(pitchMm.toFixed(3))} mm apart.`;
    return `Grid found, but its heavy and fine lines are hard to tell apart here, so check the drawn lines. ${step}`;
  }
  const coarser = levels.steps.find((s) => s.every > reading.every);
  const what =
    reading.every > 1
      ? `Grid found: every ${ordinal(reading.every)} line is a heavy one`
      : coarser !== undefined
        ? `Grid found: the spacing meant is that of neighbouring lines; every ${ordinal(coarser.every)} line is heavier`
        : 'Grid found: all its lines look alike';
  const look = doubt === null ? '' : '; other lines may be meant, so check those that are drawn';
  const ask =
    pitchMm === null
      ? '. How far apart are the drawn lines?'
      : `. The drawn lines are taken to be ${Number(pitchMm.toFixed(3))} mm apart.`;
  return `${what}${look}${ask}`;
};
