/** A position along one axis with its weight. */
export interface Mark {
  readonly at: number;
  readonly weight: number;
}

/** Evenly spaced positions: `start` + k · `pitch`. */
export interface Comb {
  readonly pitch: number;
  readonly start: number;
  /** 1 when all marks lie on the comb, about 0 for marks spread evenly. */
  readonly agreement: number;
}

/**
 * The coarsest comb that explains the marks about as well as the best: the power at frequency f is |Σ w exp(2πi f x)| / Σ w, and a
 * comb's harmonics explain the marks as well as it does, so the lowest frequency near the top wins.
 * @param leastPitch smallest spacing that is considered; `mostPitch` the largest.
 * @returns null when there are fewer than three marks.
 */
export const findComb = (marks: readonly Mark[], leastPitch: number, mostPitch: number): Comb | null => {
  if (marks.length < 3) return null;
  const low = Math.min(...marks.map((m) => m.at));
  const high = Math.max(...marks.map((m) => m.at));
  const extent = high - low;
  if (extent < 2 * leastPitch) return null;
  const total = marks.reduce((s, m) => s + m.weight, 0);
  const step = 1 / (6 * extent);
  const first = 1 / Math.min(mostPitch, extent);
  const power = powersOf(marks, { low, total, first, step, last: 1 / leastPitch });
  const at = (f: number): [number, number] => {
    let re = 0;
    let im = 0;
    for (const m of marks) {
      const turn = 2 * Math.PI * f * (m.at - low);
      re += m.weight * Math.cos(turn);
      im += m.weight * Math.sin(turn);
    }
    return [re / total, im / total];
  };
  const best = power.reduce((a, b) => Math.max(a, b), 0);
  const chosen = power.findIndex(
    (p, i) => p >= 0.9 * best && p >= (power[i - 1] ?? 0) && p >= (power[i + 1] ?? 0),
  );
  if (chosen < 0) return null;
  const [p0 = 0, p1 = 0, p2 = 0] = [power[chosen - 1], power[chosen], power[chosen + 1]];
  const bend = p0 - 2 * p1 + p2;
  const f = first + step * (chosen + (bend < 0 ? Math.max(-0.5, Math.min(0.5, (p0 - p2) / (2 * bend))) : 0));
  const [re, im] = at(f);
  return { pitch: 1 / f, start: low + Math.atan2(im, re) / (2 * Math.PI * f), agreement: Math.hypot(re, im) };
};

/** Frequencies to look at, evenly spaced, and what the marks are counted from. */
interface Sweep {
  readonly low: number;
  readonly total: number;
  readonly first: number;
  readonly step: number;
  readonly last: number;
}

/** The comb's power at each frequency. From one frequency to the next every mark turns on by the same angle, so no sine has to be asked for anew. */
const powersOf = (marks: readonly Mark[], { low, total, first, step, last }: Sweep): number[] => {
  const count = Math.max(0, Math.floor((last - first) / step + 1e-9) + 1);
  const re = new Float64Array(count);
  const im = new Float64Array(count);
  for (const { at, weight } of marks) {
    const turn = 2 * Math.PI * (at - low);
    const cos = Math.cos(turn * step);
    const sin = Math.sin(turn * step);
    let x = weight * Math.cos(turn * first);
    let y = weight * Math.sin(turn * first);
    for (let i = 0; i < count; i++) {
      re[i] = (re[i] as number) + x;
      im[i] = (im[i] as number) + y;
      const next = x * cos - y * sin;
      y = x * sin + y * cos;
      x = next;
    }
  }
  return Array.from(re, (r, i) => Math.hypot(r, im[i] as number) / total);
};
