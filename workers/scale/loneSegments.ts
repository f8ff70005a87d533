import type { Polarity } from './ridges';
import type { Segment } from './segments';

/** Within this distance of a line, px, texture has another line of the opposite polarity. */
const besidePx = 11;
/** Sine of the largest angle between two lines that count as running side by side. */
const slack = 0.25;
/** A neighbour much weaker than the line itself is the ground's own grain. */
const leastStrength = 0.45;
/** Share of a line that such neighbours may accompany. */
const mostAccompanied = 0.35;

/** Length of `s`, as a share, along which `other` runs beside it. */
const shareBeside = (s: Segment, other: Segment): number => {
  const dx = (s.x1 - s.x0) / s.lengthPx;
  const dy = (s.y1 - s.y0) / s.lengthPx;
  const turn = ((other.x1 - other.x0) * dy - (other.y1 - other.y0) * dx) / other.lengthPx;
  if (Math.abs(turn) > slack) return 0;
  const mx = (other.x0 + other.x1) / 2 - s.x0;
  const my = (other.y0 + other.y1) / 2 - s.y0;
  if (Math.abs(mx * dy - my * dx) > besidePx + slack * s.lengthPx) return 0;
  const [p, q] = [
    (other.x0 - s.x0) * dx + (other.y0 - s.y0) * dy,
    (other.x1 - s.x0) * dx + (other.y1 - s.y0) * dy,
  ];
  const shared = Math.min(Math.max(p, q), s.lengthPx) - Math.max(Math.min(p, q), 0);
  if (shared <= 0) return 0;
  const at = (Math.max(Math.min(p, q), 0) + shared / 2 - p) / (q - p || 1);
  const ox = other.x0 + at * (other.x1 - other.x0) - s.x0;
  const oy = other.y0 + at * (other.y1 - other.y0) - s.y0;
  return Math.abs(ox * dy - oy * dx) < besidePx ? shared / s.lengthPx : 0;
};

/**
 * The segments that run alone. Printed lines stand on plain ground; in knitting, cloth and wood every light line has dark ones close beside it, so
 * those are left out.
 */
export const loneSegments = (
  segments: Readonly<Record<Polarity, readonly Segment[]>>,
  polarity: Polarity,
): readonly Segment[] => {
  const others = segments[polarity === 'light' ? 'dark' : 'light'];
  return segments[polarity].filter((s) => {
    let accompanied = 0;
    for (const other of others) {
      if (other.strength < leastStrength * s.strength) continue;
      accompanied += shareBeside(s, other);
      if (accompanied > mostAccompanied) return false;
    }
    return true;
  });
};
