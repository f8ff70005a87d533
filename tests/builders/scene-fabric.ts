import type { FabricSpec, Light } from './fabric';
import { noise2 } from './fabric-noise';
import type { FabricLayer } from './fabric-yarn';
import { seeded } from './random';
import type { SceneSpec } from './scene';
import type { Camera } from './scene-camera';
import { blurPlanes } from './scene-lens';

/** Light that reaches each pixel of the fabric's box: the lamp's share and the sky's. */
export interface Shares {
  readonly lamp: Float32Array;
  readonly sky: Float32Array;
}

/** Puts the fabric, its shadow and its loose fibres over the picture of the table, in place. */
export const layFabric = (
  picture: Float32Array,
  camera: Camera,
  spec: SceneSpec,
  layer: FabricLayer,
  shares: Shares,
): void => {
  const { box, cover, lit, own } = layer;
  const { light, fabric } = spec;
  const pxPerMm = camera.spec.focalPx / camera.spec.distanceMm;
  const colour = new Float32Array(lit.length);
  for (let p = 0; p < cover.length; p++) {
    const lamp = light.direct * (shares.lamp[p] as number) * 1.15;
    const sky = (1 - light.direct) * (shares.sky[p] as number);
    const deep = Math.min(1, 0.35 + 0.65 * (shares.sky[p] as number));
    for (let c = 0; c < 3; c++) {
      const at = 3 * p + c;
      colour[at] = (lit[at] as number) * lamp * deep + (own[at] as number) * sky;
    }
  }
  const blurredCover = contactShade(layer, 1.1 * fabric.yarn.diameterMm * pxPerMm);
  mist(colour, cover, layer, fabric.yarn.halo, 0.28 * fabric.yarn.diameterMm * pxPerMm);
  for (let y = 0; y < box.height; y++) {
    for (let x = 0; x < box.width; x++) {
      const p = y * box.width + x;
      const to = 3 * ((box.top + y) * camera.spec.widthPx + box.left + x);
      const c0 = cover[p] as number;
      const dark =
        (1 - 0.7 * light.direct * (1 - (shares.lamp[p] as number))) *
        (1 - 0.45 * (blurredCover[p] as number));
      for (let c = 0; c < 3; c++) {
        picture[to + c] = (picture[to + c] as number) * dark * (1 - c0) + (colour[3 * p + c] as number);
      }
    }
  }
  looseFibres(picture, camera, fabric, layer);
};

const contactShade = (layer: FabricLayer, sigmaPx: number): Float32Array => {
  const out = Float32Array.from(layer.cover);
  blurPlanes(out, layer.box.width, layer.box.height, 1, sigmaPx);
  return out;
};

/** Brushed yarn: short fibres spread each yarn's light a little and reach past its edge. */
const mist = (
  colour: Float32Array,
  cover: Float32Array,
  layer: FabricLayer,
  halo: number,
  sigmaPx: number,
): void => {
  if (halo < 0.05) return;
  const { width, height } = layer.box;
  const softColour = Float32Array.from(colour);
  const softCover = Float32Array.from(cover);
  blurPlanes(softColour, width, height, 3, sigmaPx);
  blurPlanes(softCover, width, height, 1, sigmaPx);
  for (let p = 0; p < cover.length; p++) {
    const x = p % width;
    const y = Math.floor(p / width);
    const tuft = 0.75 + 0.5 * noise2((x * 1.3) / sigmaPx, (y * 1.3) / sigmaPx);
    const share = Math.min(0.92, halo * 0.8 * tuft);
    cover[p] = (cover[p] as number) * (1 - share) + (softCover[p] as number) * share;
    for (let c = 0; c < 3; c++) {
      const at = 3 * p + c;
      colour[at] = (colour[at] as number) * (1 - share) + (softColour[at] as number) * share;
    }
  }
};

const looseFibres = (picture: Float32Array, camera: Camera, fabric: FabricSpec, layer: FabricLayer): void => {
  const { box, cover, own } = layer;
  const random = seeded(fabric.seed).fork('fibres');
  const pxPerMm = camera.spec.focalPx / camera.spec.distanceMm;
  const areaMm2 = (box.width * box.height) / pxPerMm ** 2;
  const count = Math.min(60_000, Math.round(areaMm2 * (0.25 + 5 * fabric.yarn.halo)));
  const strength = Math.min(0.6, 0.09 * pxPerMm ** 0.7) * (0.35 + 0.65 * fabric.yarn.halo);
  for (let i = 0; i < count; i++) {
    let x = random.between(0, box.width);
    let y = random.between(0, box.height);
    const start = Math.floor(y) * box.width + Math.floor(x);
    const c0 = cover[start] as number;
    if (c0 < 0.6) continue;
    const tone: Light = [
      ((own[3 * start] as number) / c0) * 1.05,
      ((own[3 * start + 1] as number) / c0) * 1.05,
      ((own[3 * start + 2] as number) / c0) * 1.05,
    ];
    let heading = random.between(0, 2 * Math.PI);
    const bend = random.normal() * 0.06;
    const lengthPx = random.between(0.6, 2.6) * fabric.yarn.diameterMm * pxPerMm * (0.5 + fabric.yarn.halo);
    for (let s = 0; s < lengthPx; s++) {
      heading += bend;
      x += Math.cos(heading);
      y += Math.sin(heading);
      const px = box.left + Math.floor(x);
      const py = box.top + Math.floor(y);
      if (px < 0 || py < 0 || px >= camera.spec.widthPx || py >= camera.spec.heightPx) break;
      const at = 3 * (py * camera.spec.widthPx + px);
      const fade = strength * (1 - s / lengthPx);
      for (let c = 0; c < 3; c++) {
        const own = picture[at + c] as number;
        picture[at + c] = own + ((tone[c] as number) - own) * fade;
      }
    }
  }
};
