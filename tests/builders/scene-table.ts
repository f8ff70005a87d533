import { smoothStep } from './fabric-noise';
import type { Camera } from './scene-camera';
import { type GroundSpec, groundPainter } from './scene-ground';
import { type LightSpec, towardsLamp } from './scene-light';
import { type FlatThing, tableToThing, thingToTable } from './scene-reference';

/** Brightness of a level, matt surface under the light. */
export const levelLight = (light: LightSpec): number =>
  1 - light.direct + light.direct * Math.sin(light.elevationRad) * 1.15;

/** Pixels that a flat thing with its shadow can touch. */
const reachOf = (thing: FlatThing, camera: Camera, marginMm: number): [number, number, number, number] => {
  const [hw, hh] = thing.reachMm;
  const xs: number[] = [];
  const ys: number[] = [];
  for (const sx of [-1, 0, 1]) {
    for (const sy of [-1, 0, 1]) {
      const [tx, ty] = thingToTable(thing, sx * (hw + marginMm), sy * (hh + marginMm));
      const [px, py] = camera.project(tx, ty, thing.thicknessMm);
      xs.push(px);
      ys.push(py);
    }
  }
  return [
    Math.max(0, Math.floor(Math.min(...xs)) - 2),
    Math.max(0, Math.floor(Math.min(...ys)) - 2),
    Math.min(camera.spec.widthPx, Math.ceil(Math.max(...xs)) + 2),
    Math.min(camera.spec.heightPx, Math.ceil(Math.max(...ys)) + 2),
  ];
};

/** How much of a pixel a thing's outline covers at a height; where the pixel shows the thing, in its own mm, is written into `place`. */
const coverAt = (
  camera: Camera,
  thing: FlatThing,
  x: number,
  y: number,
  z: number,
  spotMm: number,
  place: Float64Array,
): number => {
  camera.onPlane(x + 0.5, y + 0.5, z, place);
  const [u, v] = tableToThing(thing, place[0] as number, place[1] as number);
  place[0] = u;
  place[1] = v;
  return Math.max(0, Math.min(1, 0.5 - thing.outline(u, v) / spotMm));
};

const layThing = (picture: Float32Array, camera: Camera, thing: FlatThing, light: LightSpec): void => {
  const [left, top, right, bottom] = reachOf(thing, camera, 4 * thing.thicknessMm + 2);
  const spotMm = camera.spec.distanceMm / camera.spec.focalPx;
  const lamp = towardsLamp(light);
  const lean = thing.thicknessMm / Math.max(0.2, lamp[2]);
  const width = camera.spec.widthPx;
  const colour = new Float32Array(3);
  const wallColour = new Float32Array(3);
  const spot = new Float64Array(2);
  const place = new Float64Array(2);
  const bright = levelLight(light);
  const sides = Math.max(1, Math.min(8, Math.ceil((2 * thing.thicknessMm) / spotMm)));
  for (let y = top; y < bottom; y++) {
    for (let x = left; x < right; x++) {
      const p = 3 * (y * width + x);
      camera.onPlane(x + 0.5, y + 0.5, 0, spot);
      const gx = spot[0] as number;
      const gy = spot[1] as number;
      const [sx, sy] = tableToThing(thing, gx + 0.5 * lean * lamp[0], gy + 0.5 * lean * lamp[1]);
      const soft = 0.25 + 0.5 * thing.thicknessMm * (0.4 + light.softness);
      const dark = 1 - 0.65 * light.direct * smoothStep(soft, -soft, thing.outline(sx, sy));
      for (let c = 0; c < 3; c++) picture[p + c] = (picture[p + c] as number) * dark;
      // Of the levels that a pixel shows, each hides the ones below it: what they cover together is what the widest of them covers.
      let wall = 0;
      for (let s = 0; s < sides; s++) {
        const cover = coverAt(camera, thing, x, y, (thing.thicknessMm * s) / sides, spotMm, place);
        if (cover <= wall) continue;
        wall = cover;
        thing.paint(place[0] as number, place[1] as number, spotMm, wallColour);
      }
      const face = coverAt(camera, thing, x, y, thing.thicknessMm, spotMm, place);
      if (face > 0) thing.paint(place[0] as number, place[1] as number, spotMm, colour);
      const bare = 1 - Math.max(wall, face);
      const side = 0.6 * Math.max(0, wall - face);
      for (let c = 0; c < 3; c++) {
        const shown = (colour[c] as number) * face + (wallColour[c] as number) * side;
        picture[p + c] = (picture[p + c] as number) * bare + shown * bright;
      }
    }
  }
};

/** Paints ground and reference as linear light, three numbers a pixel. */
export const paintTable = (
  camera: Camera,
  ground: GroundSpec,
  thing: FlatThing | null,
  light: LightSpec,
): Float32Array => {
  const { widthPx, heightPx, focalPx, distanceMm } = camera.spec;
  const picture = new Float32Array(3 * widthPx * heightPx);
  const paint = groundPainter(ground);
  const colour = new Float32Array(3);
  const spot = new Float64Array(2);
  const spotMm = distanceMm / focalPx;
  const bright = levelLight(light);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      camera.onPlane(x + 0.5, y + 0.5, 0, spot);
      paint(spot[0] as number, spot[1] as number, spotMm, colour);
      const p = 3 * (y * widthPx + x);
      picture[p] = (colour[0] as number) * bright;
      picture[p + 1] = (colour[1] as number) * bright;
      picture[p + 2] = (colour[2] as number) * bright;
    }
  }
  if (thing !== null) layThing(picture, camera, thing, light);
  return picture;
};
