import type { RidgeMap } from './ridges';
import { angleBetween } from './segments';

/** A round stretch of edge: the circle through it and how far around it the stretch goes, rad. */
interface Arc {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly sweep: number;
}

/** Follows an edge from a seed, turning with it, one px a step; hands back the pixels met. */
const follow = (map: RidgeMap, used: Uint8Array, seed: number, forward: boolean): number[] => {
  const met: number[] = [];
  let heading = (map.angle[seed] as number) + (forward ? 0 : Math.PI);
  let x = map.x[seed] as number;
  let y = map.y[seed] as number;
  let gap = 0;
  while (gap < 3) {
    const dx = Math.cos(heading);
    const dy = Math.sin(heading);
    x += dx;
    y += dy;
    const cx = Math.floor(x);
    const cy = Math.floor(y);
    if (cx < 1 || cy < 1 || cx >= map.widthPx - 1 || cy >= map.heightPx - 1) break;
    let best = -1;
    let least = 1.4;
    for (let v = cy - 1; v <= cy + 1; v++) {
      for (let u = cx - 1; u <= cx + 1; u++) {
        const i = v * map.widthPx + u;
        if (map.strength[i] === 0 || used[i]) continue;
        const off = Math.abs(((map.x[i] as number) - x) * -dy + ((map.y[i] as number) - y) * dx);
        if (off < least && angleBetween(map.angle[i] as number, heading) < 0.4) {
          best = i;
          least = off;
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
    x = map.x[best] as number;
    y = map.y[best] as number;
    // Turn a little towards the edge's own direction, so that one noisy pixel does not throw the walk off.
    const d = (map.angle[best] as number) - heading;
    heading += 0.35 * (d - Math.PI * Math.round(d / Math.PI));
  }
  return met;
};

/** Circle through points by least squares (Kåsa 1976); null when they lie on a straight line. */
const circleThrough = (
  map: RidgeMap,
  pixels: readonly number[],
): { x: number; y: number; radius: number; rms: number } | null => {
  const n = pixels.length;
  let mx = 0;
  let my = 0;
  for (const i of pixels) {
    mx += (map.x[i] as number) / n;
    my += (map.y[i] as number) / n;
  }
  let [xx, xy, yy, xz, yz, zz] = [0, 0, 0, 0, 0, 0];
  for (const i of pixels) {
    const x = (map.x[i] as number) - mx;
    const y = (map.y[i] as number) - my;
    const z = x * x + y * y;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xz += x * z;
    yz += y * z;
    zz += z;
  }
  const det = xx * yy - xy * xy;
  if (!(det > 1e-6 * xx * yy)) return null;
  const cx = (xz * yy - yz * xy) / (2 * det);
  const cy = (yz * xx - xz * xy) / (2 * det);
  const radius = Math.sqrt(cx * cx + cy * cy + zz / n);
  let squares = 0;
  for (const i of pixels) {
    squares += (Math.hypot((map.x[i] as number) - mx - cx, (map.y[i] as number) - my - cy) - radius) ** 2;
  }
  return { x: mx + cx, y: my + cy, radius, rms: Math.sqrt(squares / n) };
};

/** Least stretch of rim that is followed, px and rad. */
const leastArcPx = 30;
const leastSweep = 0.7;
/** How far a rim that is followed lies off a circle, px and as a share of its radius; one that is followed more than half round and seen 25° aslant lies further off. */
const offCircle = { px: 0.5, share: 0.012, aslantShare: 0.034 };

const findArcs = (map: RidgeMap, least: number, most: number): Arc[] => {
  const used = new Uint8Array(map.strength.length);
  const arcs: Arc[] = [];
  for (let seed = 0; seed < used.length; seed++) {
    if ((map.strength[seed] as number) < 4 || used[seed]) continue;
    used[seed] = 1;
    const pixels = [...follow(map, used, seed, false).reverse(), seed, ...follow(map, used, seed, true)];
    if (pixels.length < leastArcPx) continue;
    const circle = circleThrough(map, pixels);
    if (circle === null || circle.radius < least || circle.radius > most) continue;
    const sweep = pixels.length / circle.radius;
    const share = sweep > Math.PI ? offCircle.aslantShare : offCircle.share;
    if (circle.rms > share * circle.radius + offCircle.px) continue;
    if (sweep > leastSweep) arcs.push({ ...circle, sweep });
  }
  return arcs.sort((a, b) => b.sweep * b.radius - a.sweep * a.radius);
};

/** Places that look like the middle of a round thing, best first: centre and radius in px of the edge map. */
export const circleCentres = (
  map: RidgeMap,
  least: number,
  most: number,
  count: number,
): { x: number; y: number; radius: number; share: number }[] =>
  findArcs(map, least, most)
    .slice(0, 40)
    .map((arc) => ({
      ...arc,
      ...bestRadius(map, arc.x, arc.y, Math.round(0.8 * arc.radius), Math.round(1.2 * arc.radius)),
    }))
    .sort((a, b) => b.share - a.share)
    .slice(0, count);

/** Radius at which most directions from a centre meet an edge that lies square to the ray, and the share of directions that do. */
const bestRadius = (
  map: RidgeMap,
  cx: number,
  cy: number,
  least: number,
  most: number,
): { radius: number; share: number } => {
  const bin = 3;
  const bins = Math.ceil(most / bin) + 2;
  const met = new Float32Array(bins);
  const directions = 72;
  for (let k = 0; k < directions; k++) {
    const angle = (2 * Math.PI * k) / directions;
    const seen = new Uint8Array(bins);
    for (let r = least; r <= most; r++) {
      const u = Math.floor(cx + r * Math.cos(angle));
      const v = Math.floor(cy + r * Math.sin(angle));
      if (u < 0 || v < 0 || u >= map.widthPx || v >= map.heightPx) break;
      const i = v * map.widthPx + u;
      if ((map.strength[i] as number) < 4) continue;
      if (angleBetween(map.angle[i] as number, angle) > Math.PI / 2 - 0.3) seen[Math.floor(r / bin)] = 1;
    }
    for (let b = 0; b < bins; b++) met[b] = (met[b] as number) + (seen[b] as number);
  }
  let best = { radius: least, share: 0 };
  for (let b = 1; b + 1 < bins; b++) {
    const share = ((met[b - 1] as number) + (met[b] as number) + (met[b + 1] as number)) / directions;
    if (share > best.share) best = { radius: (b + 0.5) * bin, share };
  }
  return best;
};
