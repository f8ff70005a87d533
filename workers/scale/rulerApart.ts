import type { GreyImage } from '../image';
import { putTogether, type Side, unrolled } from './rulerFaint';

/** Periods that are looked for, px, each so many times the last. */
const periods = { from: 4.1, to: 40, times: 1.03 };
/** Stretches of a side that are looked at one by one, px: perspective changes the spacing from one to the next. */
const stretchPx = 160;
/** A period stands out by so many times from what those beside it, so many to either side, have in the middle, or nothing is told. */
const clearTimes = 6;
const besides = 18;
/** Depths of the marks that are put together, shares of the picture's long side, and leans of the marks. */
const depths = [
  [0.003, 0.008],
  [0.005, 0.016],
] as const;
const leans = [-0.14, 0, 0.14];

/** Power of one period in a stretch, a Hann window over it, its mean left away. */
const powerOf = (values: Float64Array, period: number): number => {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  let [re, im] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    const v = ((values[i] as number) - mean) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / values.length));
    re += v * Math.cos((2 * Math.PI * i) / period);
    im += v * Math.sin((2 * Math.PI * i) / period);
  }
  return re * re + im * im;
};

const middleOf = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;

const slopesOf = (profile: Float64Array): Float64Array =>
  profile.map((v, i) => (i === 0 ? 0 : v - (profile[i - 1] as number)));

/**
 * About how far apart even marks stand along a line, px of the picture, whether or not each of them can be made out; null where nothing even is seen. Averaged
 * periodogram (P. D. Welch, IEEE Transactions on Audio and Electroacoustics 15, 1967, 70–73) of the brightness put together along the marks.
 */
export const marksApartPx = (image: GreyImage, line: Omit<Side, 'side'>): number | null => {
  const long = Math.max(image.widthPx, image.heightPx);
  let best = { clear: clearTimes, period: 0 };
  for (const side of [1, -1]) {
    const rows = unrolled(image, { ...line, side }, depths[1][1] * long, 1);
    for (const [from, to] of depths) {
      for (const lean of leans) {
        // Slow changes of light carry far more power than marks: steps from one place to the next carry little of them.
        const steps = slopesOf(putTogether(rows, from * long, to * long, lean));
        const powers: { period: number; power: number }[] = [];
        for (let period = periods.from; period < periods.to; period *= periods.times) {
          let power = 0;
          for (let at = 0; at + stretchPx <= steps.length; at += stretchPx / 2)
            power += powerOf(steps.subarray(at, at + stretchPx), period);
          powers.push({ period, power });
        }
        powers.forEach(({ period, power }, i) => {
          const around = powers.slice(Math.max(0, i - besides), i + besides + 1);
          const clear = power / middleOf(around.map((other) => other.power));
          if (clear > best.clear) best = { clear, period };
        });
      }
    }
  }
  return best.period === 0 ? null : best.period;
};
