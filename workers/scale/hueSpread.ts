/** Two numbers that say in what a colour differs from grey. */
export type Hue = readonly [number, number];

/** Mean and covariance (xx, xy, yy) of hues. */
export interface Spread {
  readonly mean: Hue;
  readonly covariance: readonly [number, number, number];
}

export const spreadOf = (hues: readonly Hue[]): Spread => {
  const n = hues.length;
  const mean: Hue = [hues.reduce((s, [x]) => s + x, 0) / n, hues.reduce((s, [, y]) => s + y, 0) / n];
  let [xx, xy, yy] = [0, 0, 0];
  for (const [x, y] of hues) {
    xx += (x - mean[0]) ** 2;
    xy += (x - mean[0]) * (y - mean[1]);
    yy += (y - mean[1]) ** 2;
  }
  return { mean, covariance: [xx / n, xy / n, yy / n] };
};
