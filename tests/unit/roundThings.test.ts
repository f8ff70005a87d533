import { describe, expect, it } from 'vitest';
import { circleCentres } from '../../workers/scale/ellipses';
import type { RidgeMap } from '../../workers/scale/ridges';

const side = 160;

/** A closed edge about (80, 78): how far it reaches at every angle. */
const edgeRound = (reachAt: (angle: number) => number): RidgeMap => {
  const size = side * side;
  const map = {
    widthPx: side,
    heightPx: side,
    strength: new Float32Array(size),
    angle: new Float32Array(size),
    x: new Float32Array(size),
    y: new Float32Array(size),
  };
  const placeAt = (t: number): [number, number] => [
    80 + reachAt(t) * Math.cos(t),
    78 + reachAt(t) * Math.sin(t),
  ];
  for (let k = 0; k < 2000; k++) {
    const t = (2 * Math.PI * k) / 2000;
    const [[x, y], [nextX, nextY]] = [placeAt(t), placeAt(t + 1e-3)];
    const at = Math.floor(y) * side + Math.floor(x);
    map.strength[at] = 20;
    map.x[at] = x;
    map.y[at] = y;
    map.angle[at] = Math.atan2(nextY - y, nextX - x);
  }
  return map;
};

/** The rim of a disc seen so far aslant. */
const rimSeen = (radiusPx: number, tiltRad: number): RidgeMap =>
  edgeRound((t) => radiusPx / Math.hypot(Math.cos(t), Math.sin(t) / Math.cos(tiltRad)));

describe('round things among edges', () => {
  it.each([0, 12, 19, 25])('are found where a small one is seen %i° aslant', (tiltDegrees) => {
    const [found] = circleCentres(rimSeen(26, (tiltDegrees * Math.PI) / 180), 10, 62, 4);
    expect(Math.hypot((found?.x ?? 0) - 80, (found?.y ?? 0) - 78)).toBeLessThan(2);
    expect(Math.abs((found?.radius ?? 0) - 26)).toBeLessThan(4);
  });

  it('are none where edges go round a square', () => {
    const square = edgeRound((t) => 26 / Math.max(Math.abs(Math.cos(t)), Math.abs(Math.sin(t))));
    expect(circleCentres(square, 10, 62, 4)).toEqual([]);
  });
});
