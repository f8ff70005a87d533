import { evaluateReading, poolRepeatability, type Repeatability } from './caliper';
import type { CamRecord } from './camFitRecords';
import type { Id, Landmark, Swatch } from './records';

/** A swatch that can serve, or what it lacks for that. */
export type SwatchForFit =
  | { readonly kind: 'record'; readonly record: CamRecord }
  | { readonly kind: 'lacks'; readonly sentence: string };

type SwatchFacts = Pick<
  Swatch,
  'id' | 'gauge' | 'yarnId' | 'machineId' | 'cylinderNeedles' | 'reading' | 'restState'
>;

/** ± at 95 % over standard uncertainty for a normal error. */
const NORMAL_95 = 1.959963984540054;

/** Pitch and its standard uncertainty from a density with its ±: u(1/x) = u(x) / x² (JCGM 100:2008, 5.1.2). */
const pitchFrom = (density: { readonly value: number; readonly plusMinus95: number }) => ({
  mm: 1 / density.value,
  u: density.plusMinus95 / NORMAL_95 / density.value ** 2,
});

/**
 * What a swatch contributes to a fit of gauge against setting. Its reading counts with repeats and resolution only: the
 * caliper's own error is the same in all of one knitter's readings and moves the whole line, not the points about it.
 */
export const camRecordOf = (
  swatch: SwatchFacts,
  landmarks: readonly Pick<Landmark, 'id' | 'jaw'>[],
  known: Repeatability | null = null,
): SwatchForFit => {
  const { gauge, yarnId, machineId, cylinderNeedles, reading } = swatch;
  const landmark = landmarks.find((l) => l.id === reading?.landmarkId);
  if (gauge === null) return { kind: 'lacks', sentence: 'This swatch has no gauge yet: count it first.' };
  if (yarnId === null) return { kind: 'lacks', sentence: 'This swatch has no yarn: pick one.' };
  if (machineId === null || cylinderNeedles === null) {
    return { kind: 'lacks', sentence: 'This swatch does not say which machine and cylinder it was made on.' };
  }
  if (reading === null || reading.repeats.length === 0) {
    return { kind: 'lacks', sentence: 'This swatch has no caliper reading.' };
  }
  if (!landmark) {
    return {
      kind: 'lacks',
      sentence: 'This swatch does not say between which points its reading was taken.',
    };
  }
  const wale = pitchFrom(gauge.walesPerMm);
  const course = pitchFrom(gauge.coursesPerMm);
  const evaluated = evaluateReading(reading, landmark.jaw, known);
  return {
    kind: 'record',
    record: {
      id: swatch.id,
      readingMm: evaluated.meanMm,
      uReadingMm: evaluated.sameCaliperUncertaintyMm,
      walePitchMm: wale.mm,
      uWalePitchMm: wale.u,
      coursePitchMm: course.mm,
      uCoursePitchMm: course.u,
      restState: swatch.restState,
      yarnId,
      machineId,
      cylinderNeedles,
      landmarkId: landmark.id,
    },
  };
};

/** How well readings of one landmark repeat, learnt from all swatches; null when none was repeated. */
export const repeatabilityOf = (
  swatches: readonly Pick<Swatch, 'reading'>[],
  landmarkId: Id,
): Repeatability | null =>
  poolRepeatability(
    swatches.flatMap(({ reading }) =>
      reading?.landmarkId === landmarkId ? [reading.repeats.map((r) => r.mm)] : [],
    ),
  );
