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

const angleBetween = (a: number, b: number): number => {
  const d = Math.abs(a - b) % Math.PI;
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
  /** Centre, direction and root mean square distance of the points from the line. */
  fit(): { cx: number; cy: number; angle: number; rms: number } {
    const cx = this.sx / this.n;
    const cy = this.sy / this.n;
    const xx = this.sxx / this.n - cx * cx;
    const xy = this.sxy / this.n - cx * cy;
    const yy = this.syy / this.n - cy * cy;
    const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
    const least = (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy);
    return { cx, cy, angle, rms: Math.sqrt(Math.max(0, least)) };
  }
}

const maxGapPx = 7;
const maxTurn = 0.3;

/** Walks from a crest pixel along the line, one px a step, and hands back the pixels of the crests met. */
const walk = (map: RidgeMap, used: Uint8Array, seed: number, forward: boolean): number[] => {
  const met: number[] = [];
  let angle = map.angle[seed] as number;
  let dx = Math.cos(angle) * (forward ? 1 : -1);
  let dy = Math.sin(angle) * (forward ? 1 : -1);
  let x = map.x[seed] as number;
  let y = map.y[seed] as number;
  let gap = 0;
  const recent: number[] = [seed];
  while (gap <= maxGapPx) {
    x += dx;
    y += dy;
    let best = -1;
    let bestOff = 1.3;
    const cx = Math.floor(x);
    const cy = Math.floor(y);
    if (cx < 1 || cy < 1 || cx >= map.widthPx - 1 || cy >= map.heightPx - 1) break;
    for (let v = cy - 1; v <= cy + 1; v++) {
      for (let u = cx - 1; u <= cx + 1; u++) {
        const i = v * map.widthPx + u;
        if (map.strength[i] === 0 || used[i]) continue;
        const off = Math.abs(((map.x[i] as number) - x) * -dy + ((map.y[i] as number) - y) * dx);
        if (off < bestOff && angleBetween(map.angle[i] as number, angle) < maxTurn) {
          best = i;
          bestOff = off;
        }
      }
    }
    if (best < 0) {
      gap++;
      continue;
    }
    gap = 0;
    used[best] = 1;
    met.push(best);
    recent.push(best);
    if (recent.length > 24) recent.shift();
    const px = map.x[best] as number;
    const py = map.y[best] as number;
    if (recent.length >= 6) {
      const sums = new LineSums();
      for (const i of recent) sums.add(map.x[i] as number, map.y[i] as number);
      const line = sums.fit();
      if (line.rms > 0.8) break;
      const along = Math.cos(line.angle) * dx + Math.sin(line.angle) * dy < 0 ? -1 : 1;
      dx = Math.cos(line.angle) * along;
      dy = Math.sin(line.angle) * along;
      angle = line.angle;
      const t = (px - line.cx) * dx + (py - line.cy) * dy;
      x = line.cx + t * dx;
      y = line.cy + t * dy;
    } else {
      x = px;
      y = py;
    }
  }
  return met;
};

const bySeedStrength = (map: RidgeMap): Uint32Array => {
  const seeds: number[] = [];
  for (let i = 0; i < map.strength.length; i++) if ((map.strength[i] as number) > 0) seeds.push(i);
  const buckets = 64;
  const bucketOf = (i: number): number =>
    Math.min(buckets - 1, Math.floor(8 * Math.log2(1 + (map.strength[i] as number))));
  const counts = new Uint32Array(buckets + 1);
  for (const i of seeds) {
    const b = buckets - 1 - bucketOf(i);
    counts[b + 1] = (counts[b + 1] as number) + 1;
  }
  for (let b = 0; b < buckets; b++) counts[b + 1] = (counts[b + 1] as number) + (counts[b] as number);
  const order = new Uint32Array(seeds.length);
  for (const i of seeds) {
    const b = buckets - 1 - bucketOf(i);
    const at = counts[b] as number;
    order[at] = i;
    counts[b] = at + 1;
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
