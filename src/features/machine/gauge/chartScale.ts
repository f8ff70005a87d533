import type { CamFit } from '../../../domain/camFit';
import { predictPitch } from '../../../domain/camFitPredict';

/** A place on the chart, px. */
export interface ChartPlace {
  readonly x: number;
  readonly y: number;
}

/** From values to places: readings go right, stitches (or rows) per inch go up, so sizes in mm go down. */
export interface ChartScale {
  readonly readingFrom: number;
  readonly readingTo: number;
  readonly pitchFrom: number;
  readonly pitchTo: number;
  readonly xOf: (readingMm: number) => number;
  readonly yOf: (pitchMm: number) => number;
}

/** The field that the curves are drawn in, px. */
export interface ChartField {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Values at even, round steps (1, 2 or 5 times a power of ten) that lie in a range; about `wanted` of them. */
export const roundTicks = (from: number, to: number, wanted: number): number[] => {
  const rough = (to - from) / Math.max(1, wanted);
  if (!(rough > 0) || !Number.isFinite(rough)) return [];
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((factor) => factor * power >= rough) ?? 10) * power;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  );
};

/**
 * The part of the plane to show: all swatches, the wish when it is not far off, and a margin.
 * @param wish a wanted size and the reading for it, if any.
 */
export const chartScale = (
  fit: CamFit,
  field: ChartField,
  wish: { readonly readingMm: number; readonly pitchMm: number } | null,
): ChartScale => {
  const { from, to } = fit.triedMm;
  const width = Math.max(to - from, 0.6);
  const near = wish && wish.readingMm > from - 1.5 * width && wish.readingMm < to + 1.5 * width ? wish : null;
  const readingFrom = Math.min(from, near?.readingMm ?? from) - 0.25 * width;
  const readingTo = Math.max(to, near?.readingMm ?? to) + 0.25 * width;
  const line = (readingMm: number): number =>
    fit.line.levelY + fit.line.slope * (readingMm - fit.line.centreX);
  const sizes = [
    ...fit.points.map(({ pitchMm }) => pitchMm),
    line(readingFrom),
    line(readingTo),
    ...(near ? [near.pitchMm] : []),
  ];
  const lowest = Math.min(...sizes);
  const margin = Math.max(0.22 * (Math.max(...sizes) - lowest), 0.02 * lowest);
  const pitchFrom = Math.max(0.05, lowest - margin);
  const pitchTo = Math.max(...sizes) + margin;
  return {
    readingFrom,
    readingTo,
    pitchFrom,
    pitchTo,
    xOf: (mm) => field.left + ((mm - readingFrom) / (readingTo - readingFrom)) * (field.right - field.left),
    yOf: (mm) => field.top + ((mm - pitchFrom) / (pitchTo - pitchFrom)) * (field.bottom - field.top),
  };
};

const pathOf = (places: readonly ChartPlace[]): string =>
  `M${places.map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`).join('L')}`;

/** The line and its band at 95 % as SVG paths. */
export const chartPaths = (
  fit: CamFit,
  scale: ChartScale,
): { readonly line: string; readonly band: string } => {
  const { readingFrom, readingTo, xOf, yOf } = scale;
  const steps = 40;
  const at = Array.from({ length: steps + 1 }, (_, i) => {
    const readingMm = readingFrom + (i / steps) * (readingTo - readingFrom);
    return { x: xOf(readingMm), ...predictPitch(fit, readingMm) };
  });
  // Where the band is far wider than the chart, its edge is drawn just outside.
  const room = 2 * (scale.pitchTo - scale.pitchFrom);
  const within = (mm: number): number => Math.min(scale.pitchTo + room, Math.max(scale.pitchFrom - room, mm));
  const upper = at.map(({ x, upperMm }) => ({ x, y: yOf(within(upperMm)) }));
  const lower = at.map(({ x, lowerMm }) => ({ x, y: yOf(within(lowerMm)) }));
  return {
    line: pathOf(at.map(({ x, pitchMm }) => ({ x, y: yOf(within(pitchMm)) }))),
    band: `${pathOf([...upper, ...lower.reverse()])}Z`,
  };
};
