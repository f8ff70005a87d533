/** A small seeded generator of pseudo-random numbers: the same seed gives the same sequence on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Uniform in the logarithm, in [low, high); both must be above zero. */
  logBetween(low: number, high: number): number;
  /** Whole number in [low, high], both included. */
  whole(low: number, high: number): number;
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  /** One of the items. */
  pick<T>(items: readonly T[]): T;
  /** A generator of its own for a named purpose, so that drawing more here does not change what is drawn there. */
  fork(name: string): Random;
}

const hashText = (text: string): number => {
  let h = 2166136261;
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 16777619);
  return h >>> 0;
};

/** Mixes whole numbers into one well-spread 32-bit number (the finaliser of MurmurHash3, public domain). */
export const mix = (a: number, b = 0, c = 0): number => {
  let h = Math.imul(a ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(b + 0x7f4a7c15, 0xc2b2ae35);
  h ^= Math.imul(c + 0x165667b1, 0x27d4eb2f);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
};

/** A number in [0, 1) that belongs to the whole numbers given, always the same one. */
export const unitFrom = (a: number, b = 0, c = 0): number => mix(a, b, c) / 4294967296;

/** Starts a generator (mulberry32, public domain) from a seed. */
export const seeded = (seed: number): Random => {
  let state = mix(Math.floor(seed) | 0, 1);
  const next = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const between = (low: number, high: number): number => low + (high - low) * next();
  return {
    next,
    between,
    logBetween: (low, high) => Math.exp(between(Math.log(low), Math.log(high))),
    whole: (low, high) => low + Math.floor(next() * (high - low + 1)),
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    chance: (probability) => next() < probability,
    pick: (items) => {
      const item = items[Math.floor(next() * items.length)];
      if (item === undefined) throw new RangeError('There is nothing to pick from.');
      return item;
    },
    fork: (name) => seeded(mix(Math.floor(seed) | 0, hashText(name))),
  };
};
