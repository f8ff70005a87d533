import type { PhotoFacts } from '../../src/domain/measurement';
import { type Homography, invertHomography } from '../../src/domain/plane';
import { jacobianAt, mapPoint, multiply3 } from '../../src/domain/planeFitAlgebra';
import type { MeasureHints } from '../../workers/contract';
import type { WorkImage } from '../../workers/image';

export type Colour = readonly [number, number, number];

/** What lies at a place of the table, mm; `blurMm` is the size of a pixel there. */
export type Paint = (x: number, y: number, blurMm: number) => Colour;

export interface SceneCamera {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focal35Mm: number;
  readonly tiltDeg: number;
  /** Direction into which the camera leans and the table is turned, degrees. */
  readonly leanDeg: number;
  readonly turnDeg: number;
  /** Distance from the camera to the table along its axis, mm. */
  readonly distanceMm: number;
  /** Radial bowing: share of the half diagonal by which a corner is moved. */
  readonly bow?: number;
}

export interface Scene {
  readonly work: WorkImage;
  readonly photo: PhotoFacts;
  /** Photo px → mm on the table, exact (without bowing). */
  readonly photoToTable: Homography;
  readonly heightMm: number;
}

const turn = (axis: 'x' | 'z', degrees: number): number[] => {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return axis === 'x' ? [1, 0, 0, 0, c, -s, 0, s, c] : [c, -s, 0, s, c, 0, 0, 0, 1];
};

/** Repeatable noise, −0.5 … 0.5. */
export const noiseOf = (seed: number): (() => number) => {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return (state >>> 0) / 4294967296 - 0.5;
  };
};

const turned = (camera: SceneCamera): Homography =>
  multiply3(
    multiply3(turn('z', camera.leanDeg), turn('x', camera.tiltDeg)),
    turn('z', camera.turnDeg - camera.leanDeg),
  );

/** Photographs a painted table: exact projection, four samples a pixel, a little noise. */
export const photograph = (camera: SceneCamera, paint: Paint, noise = 6): Scene => {
  const { widthPx, heightPx } = camera;
  const f = (camera.focal35Mm / 36) * Math.max(widthPx, heightPx);
  const r = turned(camera);
  const tableToPhoto = multiply3(
    [f, 0, widthPx / 2, 0, f, heightPx / 2, 0, 0, 1],
    [r[0], r[1], 0, r[3], r[4], 0, r[6], r[7], camera.distanceMm],
  );
  const photoToTable = invertHomography(tableToPhoto);
  const random = noiseOf(7);
  const data = new Uint8ClampedArray(widthPx * heightPx * 4);
  const [cx, cy] = [widthPx / 2, heightPx / 2];
  const reach = Math.hypot(cx, cy);
  for (let row = 0; row < heightPx; row++) {
    for (let column = 0; column < widthPx; column++) {
      const [a, b, c, d] = jacobianAt(photoToTable, column + 0.5, row + 0.5);
      const blurMm = Math.sqrt(Math.abs(a * d - b * c));
      const sum = [0, 0, 0];
      for (const dx of [0.25, 0.75]) {
        for (const dy of [0.25, 0.75]) {
          let [x, y] = [column + dx, row + dy];
          const k = 1 + ((camera.bow ?? 0) * ((x - cx) ** 2 + (y - cy) ** 2)) / reach ** 2;
          x = cx + (x - cx) * k;
          y = cy + (y - cy) * k;
          const colour = paint(...mapPoint(photoToTable, x, y), blurMm / 2);
          for (let i = 0; i < 3; i++) sum[i]! += colour[i]! / 4;
        }
      }
      const n = noise * random();
      const at = 4 * (row * widthPx + column);
      for (let i = 0; i < 3; i++) data[at + i] = sum[i]! + n;
      data[at + 3] = 255;
    }
  }
  return {
    work: { image: { widthPx, heightPx, data }, photoPxPerWorkPx: 1 },
    photo: { widthPx, heightPx, mime: 'image/png', takenAt: null, focalLength35Mm: null, remarks: [] },
    photoToTable,
    heightMm: camera.distanceMm * Math.cos((camera.tiltDeg * Math.PI) / 180),
  };
};

/** How much of a pixel at `off` mm from the middle of a line `widthMm` wide the line covers, 0 … 1. */
const covered = (off: number, widthMm: number, blurMm: number): number =>
  Math.max(0, Math.min(1, (widthMm / 2 - Math.abs(off)) / blurMm + 0.5)) * Math.min(1, widthMm / blurMm);

const toNearest = (v: number, pitch: number): number => v - pitch * Math.round(v / pitch);

const mixed = (a: Colour, b: Colour, share: number): Colour => [
  a[0] + (b[0] - a[0]) * share,
  a[1] + (b[1] - a[1]) * share,
  a[2] + (b[2] - a[2]) * share,
];

/** A mat with heavy lines every `pitchMm` and finer ones every `pitchMm` / `divide`. */
export const mat =
  (options: {
    pitchMm: number;
    divide: number;
    ground: Colour;
    line: Colour;
    heavyMm?: number;
    fineMm?: number;
    fineShare?: number;
  }): Paint =>
  (x, y, blurMm) => {
    const { pitchMm, divide, ground, line, heavyMm = 0.6, fineMm = 0.25, fineShare = 0.8 } = options;
    const heavy = Math.max(
      covered(toNearest(x, pitchMm), heavyMm, blurMm),
      covered(toNearest(y, pitchMm), heavyMm, blurMm),
    );
    const fine =
      divide === 1
        ? 0
        : fineShare *
          Math.max(
            covered(toNearest(x, pitchMm / divide), fineMm, blurMm),
            covered(toNearest(y, pitchMm / divide), fineMm, blurMm),
          );
    return mixed(ground, line, Math.max(heavy, fine));
  };

/** Plain knitted fabric: V-shaped stitches in columns and rows, filling the table or a rectangle of it. */
export const knitted =
  (waleMm: number, courseMm: number, yarn: Colour, turnDeg = 0): Paint =>
  (x0, y0) => {
    const a = (turnDeg * Math.PI) / 180;
    const x = x0 * Math.cos(a) + y0 * Math.sin(a);
    const y = -x0 * Math.sin(a) + y0 * Math.cos(a);
    const u = x / waleMm - Math.floor(x / waleMm) - 0.5;
    const wobble = 0.12 * Math.sin(1.7 * Math.floor(x / waleMm) + 0.9 * Math.floor(y / courseMm));
    const v = y / courseMm - 0.9 * Math.abs(u) + wobble;
    const across = Math.abs(v - Math.floor(v) - 0.5) * 2;
    const leg =
      Math.max(0.1, 1 - across ** 2) *
      (0.45 + 0.55 * Math.min(1, 6 * Math.min(Math.abs(u), 0.5 - Math.abs(u))));
    return [yarn[0] * leg, yarn[1] * leg, yarn[2] * leg];
  };

/** One thing lying over another inside a rectangle (mm) that is turned about its middle. */
export const lying = (
  over: Paint,
  under: Paint,
  place: { x: number; y: number; widthMm: number; heightMm: number; turnDeg?: number; cornerMm?: number },
): Paint => {
  const a = ((place.turnDeg ?? 0) * Math.PI) / 180;
  const radius = place.cornerMm ?? 0;
  return (x, y, blurMm) => {
    const dx = x - place.x;
    const dy = y - place.y;
    const u = dx * Math.cos(a) + dy * Math.sin(a);
    const v = -dx * Math.sin(a) + dy * Math.cos(a);
    const p = Math.abs(u) - place.widthMm / 2 + radius;
    const q = Math.abs(v) - place.heightMm / 2 + radius;
    const outside = Math.hypot(Math.max(p, 0), Math.max(q, 0)) + Math.min(Math.max(p, q), 0) - radius;
    const share = Math.max(0, Math.min(1, 0.5 - outside / blurMm));
    if (share === 0) return under(x, y, blurMm);
    return share === 1 ? over(u, v, blurMm) : mixed(under(x, y, blurMm), over(u, v, blurMm), share);
  };
};

/** A round thing lying over another. */
export const roundThing = (over: Paint, under: Paint, x0: number, y0: number, diameterMm: number): Paint =>
  lying(over, under, { x: x0, y: y0, widthMm: diameterMm, heightMm: diameterMm, cornerMm: diameterMm / 2 });

/** A plane above the table, as a camera sees it on the table: moved away from below the camera, and larger. */
const liftedFor = (camera: SceneCamera, heightMm: number) => {
  const r = turned(camera);
  const below = { x: -camera.distanceMm * r[6], y: -camera.distanceMm * r[7] };
  const above = camera.distanceMm * r[8];
  return { below, times: above / (above - heightMm) };
};

/** Photo to the plane at a height above the table, mm. */
export const photoToLifted = (scene: Scene, camera: SceneCamera, heightMm: number): Homography => {
  const { below, times } = liftedFor(camera, heightMm);
  const [x, y] = [below.x * (1 - 1 / times), below.y * (1 - 1 / times)];
  return multiply3([1 / times, 0, x, 0, 1 / times, y, 0, 0, 1], scene.photoToTable);
};

/** Steps from the foot of a thick thing to its face that make its wall. */
const WALL_STEPS = 4;

/** A coin that lies on the table, as a camera sees it: a face at the height of its thickness, and where it leans away the darker wall below it. */
export const thickCoin = (
  face: Colour,
  under: Paint,
  { x, y, diameterMm, thicknessMm }: { x: number; y: number; diameterMm: number; thicknessMm: number },
  camera: SceneCamera,
): Paint => {
  const at = (share: number, over: Paint, beneath: Paint): Paint => {
    const { below, times } = liftedFor(camera, share * thicknessMm);
    return roundThing(
      over,
      beneath,
      below.x + times * (x - below.x),
      below.y + times * (y - below.y),
      times * diameterMm,
    );
  };
  const wall = plain([0.55 * face[0], 0.55 * face[1], 0.55 * face[2]]);
  let painted = under;
  for (let step = 0; step < WALL_STEPS; step++) painted = at(step / WALL_STEPS, wall, painted);
  return at(1, plain(face), painted);
};

export const plain =
  (colour: Colour): Paint =>
  () =>
    colour;

/** Wood: long soft streaks along x. */
export const wood: Paint = (x, y) => {
  const streak = Math.sin(0.9 * y + 2 * Math.sin(0.015 * x + 0.3 * y)) + 0.6 * Math.sin(2.3 * y + 0.02 * x);
  return [178 + 14 * streak, 132 + 12 * streak, 86 + 9 * streak];
};

/** A ruler along x with marks from its lower edge (y = 0) upwards; every `longEvery`-th is longer. */
export const ruler =
  (tickMm: number, longEvery: number, lengthMm: number): Paint =>
  (x, y, blurMm) => {
    const k = Math.round(x / tickMm);
    const inside = x > -lengthMm / 2 + 3 && x < lengthMm / 2 - 3;
    const reach = k % longEvery === 0 ? 6.5 : k % (longEvery / 2) === 0 ? 5 : 3;
    const mark = inside && y > 0 && y < reach ? covered(x - k * tickMm, 0.2, blurMm) : 0;
    return mixed([205, 207, 210], [25, 25, 28], mark);
  };

export const hintsFor = (given: Partial<MeasureHints> = {}): MeasureHints => ({
  gridPitchMm: null,
  reference: 'auto',
  region: null,
  thicknessMm: null,
  ...given,
});

/** Largest relative error of a length at a photo point, over two directions, of one map against the exact one. */
export const scaleError = (found: Homography, exact: Homography, x: number, y: number): number => {
  const a = jacobianAt(exact, x, y);
  const b = jacobianAt(found, x, y);
  const along = (dx: number, dy: number): number =>
    Math.hypot(b[0] * dx + b[1] * dy, b[2] * dx + b[3] * dy) /
      Math.hypot(a[0] * dx + a[1] * dy, a[2] * dx + a[3] * dy) -
    1;
  return Math.max(Math.abs(along(1, 0)), Math.abs(along(0, 1)));
};
