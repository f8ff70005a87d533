import type { Segment } from './segments';

/** A point of the projective plane, homogeneous, in px about the picture's centre divided by its half diagonal. */
export type Projective = readonly [number, number, number];

/** A bundle of segments that run to one vanishing point. */
export interface Bundle {
  readonly point: Projective;
  readonly members: readonly Segment[];
  /** Summed length of its members, px. */
  readonly supportPx: number;
}

export const cross = (a: Projective, b: Projective): Projective => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

export const dot = (a: Projective, b: Projective): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

const unit = (a: Projective): Projective => {
  const n = Math.hypot(...a) || 1;
  return [a[0] / n, a[1] / n, a[2] / n];
};

/** Repeatable random numbers in [0, 1) (Mulberry32), so that the same photo always gives the same answer. */
export const seededRandom = (seed: number): (() => number) => {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
};

interface Ray {
  readonly segment: Segment;
  readonly line: Projective;
  readonly mx: number;
  readonly my: number;
  readonly dx: number;
  readonly dy: number;
  /** Largest sine of the angle by which it may miss the vanishing point. */
  readonly tolerance: number;
}

const raysOf = (segments: readonly Segment[], widthPx: number, heightPx: number): Ray[] => {
  const cx = widthPx / 2;
  const cy = heightPx / 2;
  const half = Math.hypot(cx, cy);
  return segments.map((segment) => {
    const ax = (segment.x0 - cx) / half;
    const ay = (segment.y0 - cy) / half;
    const bx = (segment.x1 - cx) / half;
    const by = (segment.y1 - cy) / half;
    const length = Math.hypot(bx - ax, by - ay);
    const dx = (bx - ax) / length;
    const dy = (by - ay) / length;
    return {
      segment,
      line: [dy, -dx, dx * ay - dy * ax],
      mx: (ax + bx) / 2,
      my: (ay + by) / 2,
      dx,
      dy,
      tolerance: 0.004 + 0.9 / segment.lengthPx,
    };
  });
};

const missOf = (ray: Ray, v: Projective): number => {
  const tx = v[0] - v[2] * ray.mx;
  const ty = v[1] - v[2] * ray.my;
  // Asked a million times a photo: a plain root is many times faster than Math.hypot.
  return Math.abs(ray.dx * ty - ray.dy * tx) / (Math.sqrt(tx * tx + ty * ty) || 1e-12);
};

/** The point nearest to all the rays' lines: smallest eigenvector of Σ w l lᵀ, by inverse iteration. */
const refine = (rays: readonly Ray[], start: Projective): Projective => {
  let v = unit(start);
  for (let round = 0; round < 4; round++) {
    const m = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    for (const ray of rays) {
      const miss = missOf(ray, v);
      if (miss > ray.tolerance) continue;
      // The line misses v by |l·v| = sine × distance: weigh by length³ (angle precision² × what it explains).
      const distance = Math.hypot(v[0] - v[2] * ray.mx, v[1] - v[2] * ray.my) || 1e-9;
      const w = ray.segment.lengthPx ** 3 / (distance * distance);
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) {
          m[3 * i + j] = (m[3 * i + j] ?? 0) + w * (ray.line[i] ?? 0) * (ray.line[j] ?? 0);
        }
      }
    }
    const next = smallestEigenvector(m);
    if (next === null) return v;
    v = next;
  }
  return v;
};

const smallestEigenvector = (m: readonly number[]): Projective | null => {
  const trace = (m[0] ?? 0) + (m[4] ?? 0) + (m[8] ?? 0);
  if (!(trace > 0)) return null;
  const [a, b, c, d, e, f, g, h, i] = m.map((v, k) => v / trace + (k % 4 === 0 ? 1e-10 : 0)) as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const adjugate = [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ];
  let v: Projective = [0.57, 0.58, 0.58];
  for (let k = 0; k < 40; k++) {
    const n: Projective = unit([
      (adjugate[0] ?? 0) * v[0] + (adjugate[1] ?? 0) * v[1] + (adjugate[2] ?? 0) * v[2],
      (adjugate[3] ?? 0) * v[0] + (adjugate[4] ?? 0) * v[1] + (adjugate[5] ?? 0) * v[2],
      (adjugate[6] ?? 0) * v[0] + (adjugate[7] ?? 0) * v[1] + (adjugate[8] ?? 0) * v[2],
    ]);
    if (Math.hypot(n[0] - v[0], n[1] - v[1], n[2] - v[2]) < 1e-12) return n;
    v = n;
  }
  return v;
};

/** Nearest that a vanishing point may lie to the centre, in half diagonals: a camera tilted by about 60°. */
const nearest = 0.75;

/**
 * Groups segments into bundles of lines that are parallel in space, the best supported first, by random sampling: two segments suggest
 * a vanishing point, all others vote with their length.
 */
export const findBundles = (
  segments: readonly Segment[],
  widthPx: number,
  heightPx: number,
  most: number,
): Bundle[] => {
  const random = seededRandom(12345);
  let rays = raysOf(segments, widthPx, heightPx).sort((a, b) => b.segment.lengthPx - a.segment.lengthPx);
  const bundles: Bundle[] = [];
  while (bundles.length < most && rays.length >= 4) {
    const voters = rays.slice(0, 360);
    const total = voters.reduce((s, r) => s + r.segment.lengthPx, 0);
    const pick = (): Ray | undefined => {
      let left = random() * total;
      for (const ray of voters) {
        left -= ray.segment.lengthPx;
        if (left <= 0) return ray;
      }
      return voters[0];
    };
    let best: Projective | null = null;
    let bestSupport = 0;
    for (let trial = 0; trial < 500; trial++) {
      const a = pick();
      const b = pick();
      if (a === undefined || b === undefined || a === b) continue;
      if (Math.abs(a.dx * b.dy - a.dy * b.dx) > 0.5) continue;
      // Two pieces of one line say nothing of where the others meet.
      if (Math.abs(dot(a.line, [b.mx, b.my, 1])) < 0.01) continue;
      const v = unit(cross(a.line, b.line));
      if (Math.hypot(v[0], v[1]) < nearest * Math.abs(v[2])) continue;
      let support = 0;
      for (const ray of voters) if (missOf(ray, v) < ray.tolerance) support += ray.segment.lengthPx;
      if (support > bestSupport) {
        bestSupport = support;
        best = v;
      }
    }
    if (best === null) break;
    const point = refine(rays, best);
    const members = rays.filter((r) => missOf(r, point) < r.tolerance);
    if (members.length < 3) break;
    bundles.push({
      point,
      members: members.map((r) => r.segment),
      supportPx: members.reduce((s, r) => s + r.segment.lengthPx, 0),
    });
    const taken = new Set(members);
    rays = rays.filter((r) => !taken.has(r));
  }
  return bundles;
};
