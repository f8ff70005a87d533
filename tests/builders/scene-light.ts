import { smoothStep } from './fabric-noise';
import type { FabricLayer } from './fabric-yarn';
import type { Camera } from './scene-camera';
import { blurPlanes } from './scene-lens';

/** The light on the table. */
export interface LightSpec {
  /** Side and height from which the lamp shines, radians; azimuth 0 is the table's +x, π/2 its +y. */
  readonly azimuthRad: number;
  readonly elevationRad: number;
  /** Share of the light that comes from the lamp rather than from all round. */
  readonly direct: number;
  /** 0 for a bare bulb to 1 for a window. */
  readonly softness: number;
  /** Colour of the light, about 1 each. */
  readonly tint: readonly [number, number, number];
  /** How much darker the far side of the picture is, 0 to 1. */
  readonly falloff: number;
  /** The edge of a shadow thrown across the picture; place as share of width and height. */
  readonly hardShadow: {
    readonly at: readonly [number, number];
    readonly headingRad: number;
    readonly depth: number;
    readonly penumbraPx: number;
  } | null;
  /** A bright reflection; place and radius as share of the picture's width. */
  readonly glare: {
    readonly at: readonly [number, number];
    readonly radius: number;
    readonly strength: number;
  } | null;
}

/** Unit vector towards the lamp in table axes (z up). */
export const towardsLamp = (light: LightSpec): [number, number, number] => [
  Math.cos(light.elevationRad) * Math.cos(light.azimuthRad),
  Math.cos(light.elevationRad) * Math.sin(light.azimuthRad),
  Math.sin(light.elevationRad),
];

/** The same in camera axes (right, down, forward). */
export const lampForCamera = (light: LightSpec, camera: Camera): [number, number, number] => {
  const l = towardsLamp(light);
  const along = (a: readonly [number, number, number]): number => a[0] * l[0] + a[1] * l[1] + a[2] * l[2];
  return [along(camera.right), along(camera.down), along(camera.forward)];
};

/** Height of the yarn above the table at every pixel of the fabric's box, mm; 0 where the table shows. */
export const heightsOf = (layer: FabricLayer, camera: Camera): Float32Array => {
  const { box } = layer;
  const out = new Float32Array(box.width * box.height);
  const { focalPx, widthPx, heightPx } = camera.spec;
  for (let y = 0; y < box.height; y++) {
    const ny = (box.top + y + 0.5 - heightPx / 2) / focalPx;
    for (let x = 0; x < box.width; x++) {
      const p = y * box.width + x;
      if ((layer.cover[p] as number) <= 0) continue;
      const nx = (box.left + x + 0.5 - widthPx / 2) / focalPx;
      const vz = camera.right[2] * nx + camera.down[2] * ny + camera.forward[2];
      const height = camera.position[2] + (layer.depth[p] as number) * vz;
      out[p] = Math.max(0, height * (layer.cover[p] as number));
    }
  }
  return out;
};

/** Share of the lamp's light that reaches each pixel of the box past the yarn towards the lamp. */
export const lampShare = (
  heights: Float32Array,
  layer: FabricLayer,
  camera: Camera,
  light: LightSpec,
  reachMm: number,
): Float32Array => {
  const { box } = layer;
  const out = new Float32Array(heights.length).fill(1);
  const [lx, ly] = lampForCamera(light, camera);
  const flat = Math.hypot(lx, ly);
  if (flat < 0.02) return out;
  const pxPerMm = camera.spec.focalPx / camera.spec.distanceMm;
  const rise = Math.tan(light.elevationRad);
  const steps = 7;
  for (let s = 1; s <= steps; s++) {
    const distanceMm = (reachMm * s) / steps;
    const ox = Math.round((lx / flat) * distanceMm * pxPerMm);
    const oy = Math.round((ly / flat) * distanceMm * pxPerMm);
    if (ox === 0 && oy === 0) continue;
    const climb = distanceMm * rise;
    const soften = 1 / (0.25 + 1.6 * light.softness * distanceMm);
    const yFrom = Math.max(0, -oy);
    const yTo = Math.min(box.height, box.height - oy);
    const xFrom = Math.max(0, -ox);
    const xTo = Math.min(box.width, box.width - ox);
    const jump = oy * box.width + ox;
    for (let y = yFrom; y < yTo; y++) {
      for (let x = xFrom; x < xTo; x++) {
        const p = y * box.width + x;
        const over = (heights[p + jump] as number) - (heights[p] as number) - climb;
        if (over > 0) {
          const open = 1 - Math.min(1, over * soften);
          if (open < (out[p] as number)) out[p] = open;
        }
      }
    }
  }
  blurPlanes(out, box.width, box.height, 1, Math.max(0.5, 0.12 * pxPerMm));
  return out;
};

/** Share of the all-round light that reaches each pixel: less in the hollows between the yarns. */
export const skyShare = (
  heights: Float32Array,
  layer: FabricLayer,
  camera: Camera,
  yarnMm: number,
): Float32Array => {
  const { box } = layer;
  const around = Float32Array.from(heights);
  const pxPerMm = camera.spec.focalPx / camera.spec.distanceMm;
  blurPlanes(around, box.width, box.height, 1, Math.max(0.6, 0.55 * yarnMm * pxPerMm));
  for (let p = 0; p < around.length; p++) {
    const sunk = ((around[p] as number) - (heights[p] as number)) / yarnMm;
    around[p] = Math.max(0.12, Math.min(1.15, 1 - 0.75 * sunk));
  }
  return around;
};

/** Lays falloff, shadow edge and glare over the whole picture, in place. */
export const lightOver = (picture: Float32Array, width: number, height: number, light: LightSpec): void => {
  const { hardShadow, glare } = light;
  const fx = Math.cos(light.azimuthRad) / width;
  const fy = Math.sin(light.azimuthRad) / height;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let factor = 1 + light.falloff * 0.5 * ((x - width / 2) * fx + (y - height / 2) * fy) * 2;
      if (hardShadow !== null) {
        const dx = x - hardShadow.at[0] * width;
        const dy = y - hardShadow.at[1] * height;
        const side = dx * Math.cos(hardShadow.headingRad) + dy * Math.sin(hardShadow.headingRad);
        const wave =
          0.012 *
          width *
          Math.sin(
            (dx * -Math.sin(hardShadow.headingRad) + dy * Math.cos(hardShadow.headingRad)) / (0.09 * width),
          );
        factor *=
          1 - hardShadow.depth * smoothStep(-hardShadow.penumbraPx, hardShadow.penumbraPx, side + wave);
      }
      let shine = 0;
      if (glare !== null) {
        const r2 =
          ((x / width - glare.at[0]) ** 2 + ((y - glare.at[1] * height) / width) ** 2) / glare.radius ** 2;
        if (r2 < 9) shine = glare.strength * Math.exp(-r2);
      }
      const p = 3 * (y * width + x);
      for (let c = 0; c < 3; c++) {
        picture[p + c] = ((picture[p + c] as number) * factor + shine) * (light.tint[c] as number);
      }
    }
  }
};
