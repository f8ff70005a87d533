import { type Ellipse, ellipsePoint } from '../../src/domain/cameraCircle';
import { choleskyFactor, choleskySolve } from '../../src/domain/planeFit';
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

/** Places where circles of many edges' normals meet, best first: centre and radius in px of the edge map. */
export const circleCentres = (
  map: RidgeMap,
  least: number,
  most: number,
  count: number,
): { x: number; y: number; radius: number }[] => {
  const cell = 4;
  const w = Math.ceil(map.widthPx / cell);
  const h = Math.ceil(map.heightPx / cell);
  const votes = new Float32Array(w * h);
  for (let i = 0; i < map.strength.length; i++) {
    if ((map.strength[i] as number) < 4) continue;
    const across = (map.angle[i] as number) + Math.PI / 2;
    const dx = Math.cos(across);
    const dy = Math.sin(across);
    for (const side of [-1, 1]) {
      for (let r = least; r <= most; r += cell) {
        const u = Math.floor(((map.x[i] as number) + side * r * dx) / cell);
        const v = Math.floor(((map.y[i] as number) + side * r * dy) / cell);
        if (u >= 0 && v >= 0 && u < w && v < h) votes[v * w + u] = (votes[v * w + u] as number) + 1;
      }
    }
  }
  const smooth = new Float32Array(w * h);
  for (let v = 1; v < h - 1; v++) {
    for (let u = 1; u < w - 1; u++) {
      let sum = 0;
      for (let b = -1; b <= 1; b++) for (let a = -1; a <= 1; a++) sum += votes[(v + b) * w + u + a] as number;
      smooth[v * w + u] = sum;
    }
  }
  const peaks: { x: number; y: number; value: number }[] = [];
  for (let v = 2; v < h - 2; v++) {
    for (let u = 2; u < w - 2; u++) {
      const value = smooth[v * w + u] as number;
      let top = true;
      for (let b = -2; b <= 2 && top; b++) {
        for (let a = -2; a <= 2; a++) if ((smooth[(v + b) * w + u + a] as number) > value) top = false;
      }
      if (top && value > 0) peaks.push({ x: (u + 0.5) * cell, y: (v + 0.5) * cell, value });
    }
  }
  peaks.sort((a, b) => b.value - a.value);
  return peaks
    .slice(0, 4 * count)
    .map((p) => ({ ...p, ...bestRadius(map, p.x, p.y, least, most) }))
    .sort((a, b) => b.share - a.share)
    .slice(0, count);
};

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
