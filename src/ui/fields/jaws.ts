import type { Jaw } from '../../domain/records';

/** The parts of a caliper by name. */
export const jawNames: Readonly<Record<Jaw, string>> = {
  outside: 'Outside jaws',
  inside: 'Inside jaws',
  depth: 'Depth rod',
};

/** In the order in which they are offered. */
export const jaws = Object.keys(jawNames) as Jaw[];
