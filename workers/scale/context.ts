import type { PhotoFacts } from '../../src/domain/measurement';
import type { MeasureHints } from '../contract';
import type { WorkImage } from '../image';
import type { ScaleContext } from './kind';
import { lightness, shrunk } from './pictures';
import { findRidges } from './ridges';
import { traceSegments } from './segments';

/** Long side that thin lines are looked for in; finer detail only adds fabric. */
const lineSearchLongSidePx = 1000;

const once = <T>(make: () => T): (() => T) => {
  let made: { value: T } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
};

/** Everything that the kinds of reference share about one photo. */
export const scaleContext = (work: WorkImage, photo: PhotoFacts, hints: MeasureHints): ScaleContext => {
  const light = once(() => lightness(work.image));
  const lines = once(() => {
    const longSide = Math.max(work.image.widthPx, work.image.heightPx);
    const factor = Math.max(1, Math.round(longSide / lineSearchLongSidePx));
    const small = shrunk(light(), factor);
    const ridges = findRidges(small, 1.3, 0.8);
    return {
      widthPx: small.widthPx,
      heightPx: small.heightPx,
      workPxPerPx: factor,
      segments: { light: traceSegments(ridges.light, 14, 0.5), dark: traceSegments(ridges.dark, 14, 0.5) },
    };
  });
  return { work, photo, hints, lightness: light, lines };
};
