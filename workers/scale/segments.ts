import type { RidgeMap } from './ridges';

/** A straight piece of a line, in the px of the picture it was found in. */
export interface Segment {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  readonly lengthPx: number;
  /** Mean curvature across the line. */
  readonly strength: number;
  /** Share of steps along it that carry a crest. */
  readonly share: number;
}

/** Angle between two lines, 0 to π/2. Taking half turns off is many times quicker than a remainder, and this is asked at every step. */
export const angleBetween = (a: number, b: number): number => {
  let d = Math.abs(a - b);
  while (d >= Math.PI) d -= Math.PI;
  return Math.min(d, Math.PI - d);
};

/** Running sums of a straight-line fit through points, by principal axis. */
class LineSums {
  n = 0;
  sx = 0;
  sy = 0;
  sxx = 0;
  sxy = 0;
  syy = 0;
  add(x: number, y: number): void {
    this.n++;
    this.sx += x;
    this.sy += y;
    this.sxx += x * x;
    this.sxy += x * y;
    this.syy += y * y;
  }
  clear(): void {
    this.n = this.sx = this.sy = this.sxx = this.sxy = this.syy = 0;
  }
  remove(x: number, y: number): void {
    this.n--;
    this.sx -= x;
    this.sy -= y;
    this.sxx -= x * x;
    this.sxy -= x * y;
    this.syy -= y * y;
  }
  /** Centre, direction and root mean square distance of the points from the line. */
  fit(): { cx: number; cy: number; angle: number; rms: number } {
    const cx = this.sx / this.n;
    const cy = this.sy / this.n;
    const xx = this.sxx / this.n - cx * cx;
    const xy = this.sxy / this.n - cx * cy;
    const yy = this.syy / this.n - cy * cy;
    const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
    const half = (xx - yy) / 2;
    // A plain root: this is asked at every step of every walk, and Math.hypot is many times slower.
    const least = (xx + yy) / 2 - Math.sqrt(half * half + xy * xy);
    return { cx, cy, angle, rms: Math.sqrt(Math.max(0, least)) };
  }
}

const maxGapPx = 7;
const maxTurn = 0.3;

/** How many of the latest points the direction of a walk is fitted to. */
const memory = 24;

/** Straight line through the latest points of a walk, kept up by adding one point and forgetting the oldest. */
class Trail {
  private readonly xs = new Float64Array(memory);
  private readonly ys = new Float64Array(memory);
  private readonly sums = new LineSums();
  private count = 0;

  clear(): void {
    this.count = 0;
    this.sums.clear();
  }

  add(x: number, y: number): void {
    const at = this.count % memory;
    if (this.count >= memory) this.sums.remove(this.xs[at] as number, this.ys[at] as number);
    this.xs[at] = x;
    this.ys[at] = y;
    this.sums.add(x, y);
    this.count++;
  }

  get length(): number {
    return this.count;
  }

  fit(): ReturnType<LineSums['fit']> {
    return this.sums.fit();
  }
}

/** Used anew by every walk: there are as many walks as crests, too many to make one each. */
const trail = new Trail();

/** The crest pixel beside a place that best goes on in the given direction; −1 when there is none. */
const nextCrest = (
  map: RidgeMap,
  used: Uint8Array,
  x: number,
  y: number,
  dx: number,
  dy: number,
  angle: number,
): number => {
  const { widthPx: w, strength, x: xs, y: ys, angle: angles } = map;
  let best = -1;
  let bestOff = 1.3;
  const corner = (Math.floor(y) - 1) * w + Math.floor(x) - 1;
  for (let v = 0; v < 3; v++) {
    for (let i = corner + v * w, end = i + 3; i < end; i++) {
      if (strength[i] === 0 || used[i] === 1) continue;
      const off = Math.abs(((xs[i] as number) - x) * -dy + ((ys[i] as number) - y) * dx);
      if (off < bestOff && angleBetween(angles[i] as number, angle) < maxTurn) {
        best = i;
        bestOff = off;
      }
    }
  }
  return best;
};

/** Walks from a crest pixel along the line, one px a step, and hands back the pixels of the crests met. */
const walk = (map: RidgeMap, used: Uint8Array, seed: number, forward: boolean): number[] => {
  const met: number[] = [];
  let angle = map.angle[seed] as number;
  let dx = Math.cos(angle) * (forward ? 1 : -1);
  let dy = Math.sin(angle) * (forward ? 1 : -1);
  // Sums are taken about the seed, so that nothing is lost far from the picture's origin.
  const x0 = map.x[seed] as number;
  const y0 = map.y[seed] as number;
  let x = x0;
  let y = y0;
  let gap = 0;
  trail.clear();
  trail.add(0, 0);
  while (gap <= maxGapPx) {
    x += dx;
    y += dy;
    if (x < 1 || y < 1 || x >= map.widthPx - 1 || y >= map.heightPx - 1) break;
    const best = nextCrest(map, used, x, y, dx, dy, angle);
    if (best < 0) {
      gap++;
      continue;
    }
    gap = 0;
    used[best] = 1;
    met.push(best);
    x = map.x[best] as number;
    y = map.y[best] as number;
    trail.add(x - x0, y - y0);
    if (trail.length < 6) continue;
    const line = trail.fit();
    if (line.rms > 0.8) break;
    const cos = Math.cos(line.angle);
    const sin = Math.sin(line.angle);
    const along = cos * dx + sin * dy < 0 ? -1 : 1;
    dx = cos * along;
    dy = sin * along;
    angle = line.angle;
    const t = (x - x0 - line.cx) * dx + (y - y0 - line.cy) * dy;
    x = x0 + line.cx + t * dx;
    y = y0 + line.cy + t * dy;
  }
  return met;
};

const buckets = 64;

/** Pixels of all crests, the strongest first, sorted by counting in steps of a twelfth or so. */
const bySeedStrength = (map: RidgeMap): Uint32Array => {
  const { strength } = map;
  const bucketOf = new Uint8Array(strength.length);
  const starts = new Uint32Array(buckets + 1);
  let total = 0;
  for (let i = 0; i < strength.length; i++) {
    const value = strength[i] as number;
    if (value === 0) continue;
    const bucket = buckets - 1 - Math.min(buckets - 1, Math.floor(8 * Math.log2(1 + value)));
    bucketOf[i] = bucket;
    starts[bucket + 1] = (starts[bucket + 1] as number) + 1;
    total++;
  }
  for (let b = 0; b < buckets; b++) starts[b + 1] = (starts[b + 1] as number) + (starts[b] as number);
  const order = new Uint32Array(total);
  for (let i = 0; i < strength.length; i++) {
    if (strength[i] === 0) continue;
    const bucket = bucketOf[i] as number;
    const at = starts[bucket] as number;
    order[at] = i;
    starts[bucket] = at + 1;
  }
  return order;
};

/**
 * Joins crest points into straight segments, the strongest first; a line may be interrupted by a few px where another crosses it.
 * @param minLengthPx shortest segment that is handed back.
 * @param maxRmsPx largest root mean square distance of its points from the straight line.
 */
export const traceSegments = (map: RidgeMap, minLengthPx: number, maxRmsPx: number): Segment[] => {
  const used = new Uint8Array(map.strength.length);
  const out: Segment[] = [];
  for (const seed of bySeedStrength(map)) {
    if (used[seed]) continue;
    used[seed] = 1;
    const points = [...walk(map, used, seed, false).reverse(), seed, ...walk(map, used, seed, true)];
    if (points.length < minLengthPx * 0.55) continue;
    const sums = new LineSums();
    let strength = 0;
    for (const i of points) {
      sums.add(map.x[i] as number, map.y[i] as number);
      strength += map.strength[i] as number;
    }
    const line = sums.fit();
    const dx = Math.cos(line.angle);
    const dy = Math.sin(line.angle);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (const i of points) {
      const t = ((map.x[i] as number) - line.cx) * dx + ((map.y[i] as number) - line.cy) * dy;
      low = Math.min(low, t);
      high = Math.max(high, t);
    }
    const lengthPx = high - low;
    if (lengthPx < minLengthPx || line.rms > maxRmsPx + 0.0015 * lengthPx) continue;
    const steps = lengthPx * Math.max(Math.abs(dx), Math.abs(dy)) + 1;
    out.push({
      x0: line.cx + low * dx,
      y0: line.cy + low * dy,
      x1: line.cx + high * dx,
      y1: line.cy + high * dy,
      lengthPx,
      strength: strength / points.length,
      share: Math.min(1, points.length / steps),
    });
  }
  return out;
};
