import { type Ellipse, ellipsePoint } from '../../src/domain/cameraCircle';
import { choleskyFactor, choleskySolve } from '../../src/domain/planeFitAlgebra';
import type { GreyImage } from '../image';
import { sampleAt } from './pictures';
import type { RidgeMap } from './ridges';

/**
 * Ellipse through points all around it, by least squares of A x² + B x y + C y² + D x + E y = 1 in centred and scaled coordinates, points far off
 * left out step by step.
 * @returns null when the points lie on no ellipse.
 */
export const fitEllipse = (
  points: readonly { x: number; y: number }[],
  limitPx: number,
): { ellipse: Ellipse; kept: number; rmsPx: number } | null => {
  let use = [...points];
  let result: { ellipse: Ellipse; kept: number; rmsPx: number } | null = null;
  for (const widen of [8, 4, 2, 1, 1]) {
    if (use.length < 12) return null;
    const ellipse = algebraicEllipse(use);
    if (ellipse === null) return null;
    const off = points.map((p) => distanceTo(ellipse, p));
    use = points.filter((_, i) => Math.abs(off[i] ?? 0) < widen * limitPx);
    const kept = off.filter((d) => Math.abs(d) < widen * limitPx);
    result = {
      ellipse,
      kept: kept.length,
      rmsPx: Math.sqrt(kept.reduce((s, d) => s + d * d, 0) / Math.max(1, kept.length)),
    };
  }
  return result;
};

const algebraicEllipse = (points: readonly { x: number; y: number }[]): Ellipse | null => {
  const n = points.length;
  const mx = points.reduce((s, p) => s + p.x, 0) / n;
  const my = points.reduce((s, p) => s + p.y, 0) / n;
  const scale = Math.sqrt(points.reduce((s, p) => s + (p.x - mx) ** 2 + (p.y - my) ** 2, 0) / n) || 1;
  const matrix = new Array<number>(25).fill(0);
  const right = new Array<number>(5).fill(0);
  for (const p of points) {
    const x = (p.x - mx) / scale;
    const y = (p.y - my) / scale;
    const row = [x * x, x * y, y * y, x, y];
    row.forEach((a, i) => {
      right[i] = (right[i] ?? 0) + a;
      row.forEach((b, j) => {
        matrix[5 * i + j] = (matrix[5 * i + j] ?? 0) + a * b;
      });
    });
  }
  const factor = choleskyFactor(matrix, 5);
  if (factor === null) return null;
  const [A = 0, B = 0, C = 0, D = 0, E = 0] = choleskySolve(factor, 5, right);
  const det = 4 * A * C - B * B;
  if (!(det > 0)) return null;
  const x = (B * E - 2 * C * D) / det;
  const y = (B * D - 2 * A * E) / det;
  const level = 1 - (A * x * x + B * x * y + C * y * y + D * x + E * y);
  const mean = (A + C) / 2;
  const root = Math.hypot((A - C) / 2, B / 2);
  const [major, minor] = [Math.sqrt(level / (mean - root)), Math.sqrt(level / (mean + root))];
  if (!Number.isFinite(major) || !Number.isFinite(minor)) return null;
  return {
    x: mx + x * scale,
    y: my + y * scale,
    major: major * scale,
    minor: minor * scale,
    angle: 0.5 * Math.atan2(-B, -(A - C)),
  };
};

/** Signed distance of a point from an ellipse along the ray from its centre, px (outside positive). */
const distanceTo = (e: Ellipse, p: { x: number; y: number }): number => {
  const [c, s] = [Math.cos(e.angle), Math.sin(e.angle)];
  const dx = p.x - e.x;
  const dy = p.y - e.y;
  const r = Math.hypot(dx, dy);
  const k = Math.hypot((dx * c + dy * s) / e.major, (-dx * s + dy * c) / e.minor);
  return r - r / k;
};

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
        const turn = Math.abs((map.angle[i] as number) - heading) % Math.PI;
        if (off < least && Math.min(turn, Math.PI - turn) < 0.4) {
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

const findArcs = (map: RidgeMap, least: number, most: number): Arc[] => {
  const used = new Uint8Array(map.strength.length);
  const arcs: Arc[] = [];
  for (let seed = 0; seed < used.length; seed++) {
    if ((map.strength[seed] as number) < 4 || used[seed]) continue;
    used[seed] = 1;
    const pixels = [...follow(map, used, seed, false).reverse(), seed, ...follow(map, used, seed, true)];
    if (pixels.length < leastArcPx) continue;
    const circle = circleThrough(map, pixels);
    if (
      circle === null ||
      circle.radius < least ||
      circle.radius > most ||
      circle.rms > 0.012 * circle.radius + 0.5
    )
      continue;
    const sweep = pixels.length / circle.radius;
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
      const turn = Math.abs((map.angle[i] as number) - angle) % Math.PI;
      if (Math.abs(turn - Math.PI / 2) < 0.3) seen[Math.floor(r / bin)] = 1;
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

/**
 * Measures the rim of a round thing around a rough ellipse: the strongest step along each of many rays, sub-pixel.
 * @returns places in px of the picture, one for every ray that shows a step.
 */
export const rimPlaces = (image: GreyImage, rough: Ellipse, searchPx: number): { x: number; y: number }[] => {
  const out: { x: number; y: number }[] = [];
  const rays = 240;
  const step = 0.5;
  const n = Math.round(searchPx / step);
  for (let k = 0; k < rays; k++) {
    const p = ellipsePoint(rough, (2 * Math.PI * k) / rays);
    const length = Math.hypot(p.x - rough.x, p.y - rough.y);
    const dx = (p.x - rough.x) / length;
    const dy = (p.y - rough.y) / length;
    const values = Array.from({ length: 2 * n + 5 }, (_, i) => {
      const t = (i - n - 2) * step;
      let sum = 0;
      for (let side = -1; side <= 1; side++)
        sum += sampleAt(image, p.x + t * dx - side * dy, p.y + t * dy + side * dx);
      return sum / 3;
    });
    let best = -1;
    let top = 1.5;
    const slope = values.map(
      (_, i) => Math.abs((values[i + 2] ?? Number.NaN) - (values[i - 2] ?? Number.NaN)) / 2,
    );
    for (let i = 3; i < values.length - 3; i++) {
      const v = slope[i] ?? 0;
      if (v > top && v >= (slope[i - 1] ?? 0) && v >= (slope[i + 1] ?? 0)) {
        top = v;
        best = i;
      }
    }
    if (best < 0) continue;
    const [a, b, c] = [slope[best - 1] ?? 0, slope[best] ?? 0, slope[best + 1] ?? 0];
    const bend = a - 2 * b + c;
    const t = (best - n - 2 + (bend < 0 ? (a - c) / (2 * bend) : 0)) * step;
    out.push({ x: p.x + t * dx, y: p.y + t * dy });
  }
  return out;
};

/** Directions in which the steps round a round thing are looked at. */
const ringRays = 120;
/** Rims are looked for up to so many radii out, and the ground's own unrest beyond them. */
const ringReach = { from: 0.85, to: 1.25, groundTo: 1.45 };
/** A shadow's edge goes round one side only; a rim is seen in two thirds of the directions. */
const ringQuantile = 0.35;
/** A rim stands out from the ground by this factor, and is not much weaker than the strongest ring. */
const ringContrast = 1.6;
const ringShare = 0.3;

/** How steeply the picture changes outwards in all but the flattest third of the directions, at every half px from the centre; the first entry lies at `ringReach.from`. */
const ringSteps = (image: GreyImage, e: Ellipse, stepShare: number): number[] => {
  const count = Math.round((ringReach.groundTo - ringReach.from) / stepShare);
  const columns = Array.from({ length: count }, (): number[] => []);
  for (let k = 0; k < ringRays; k++) {
    const p = ellipsePoint(e, (2 * Math.PI * k) / ringRays);
    const [rx, ry] = [p.x - e.x, p.y - e.y];
    const length = Math.hypot(rx, ry);
    const at = (share: number, outPx: number): number => {
      const f = share + outPx / length;
      let sum = 0;
      for (let side = -1; side <= 1; side++)
        sum += sampleAt(image, e.x + f * rx - (side * ry) / length, e.y + f * ry + (side * rx) / length);
      return sum / 3;
    };
    columns.forEach((column, i) => {
      const share = ringReach.from + i * stepShare;
      const step = Math.abs(at(share, 1) - at(share, -1)) / 2;
      if (!Number.isNaN(step)) column.push(step);
    });
  }
  return columns.map((column) => column.sort((a, b) => a - b)[Math.floor(ringQuantile * column.length)] ?? 0);
};

/**
 * By how much an ellipse must grow to lie on the outermost ring round its centre: the raised border of a coin has rings of its own inside the rim, and
 * the rim is not always the strongest.
 */
export const outermostRing = (image: GreyImage, e: Ellipse): number => {
  const stepShare = 0.5 / e.major;
  const steps = ringSteps(image, e, stepShare);
  const shareAt = (i: number): number => ringReach.from + i * stepShare;
  const ground = steps.filter((_, i) => shareAt(i) > ringReach.to).sort((a, b) => a - b);
  const strongest = Math.max(...steps);
  const least = Math.max(ringContrast * (ground[ground.length >> 1] ?? 0), ringShare * strongest);
  for (let i = steps.length - 2; i > 0; i--) {
    const step = steps[i] ?? 0;
    if (shareAt(i) > ringReach.to || step < least) continue;
    if (step >= (steps[i - 1] ?? 0) && step >= (steps[i + 1] ?? 0)) return shareAt(i);
  }
  return 1;
};
