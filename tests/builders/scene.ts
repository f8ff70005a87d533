import type { RgbaImage } from '../../workers/image';
import type { FabricSpec } from './fabric';
import { latticeOf } from './fabric-lattice';
import { restHeightMm, yarnChains } from './fabric-loops';
import { boxOf, type Placement, rasterYarn, yarnPieces } from './fabric-raster';
import { lightYarn } from './fabric-yarn';
import { type CameraSpec, cameraOf } from './scene-camera';
import { layFabric } from './scene-fabric';
import type { GroundSpec } from './scene-ground';
import { expose, type LensSpec } from './scene-lens';
import { heightsOf, type LightSpec, lampForCamera, lampShare, lightOver, skyShare } from './scene-light';
import { flatThingOf, type ReferenceSpec } from './scene-reference';
import { paintTable } from './scene-table';
import { type SceneTruth, truthOf } from './scene-truth';
import { referenceTruth } from './scene-truth-reference';

export type { SceneTruth } from './scene-truth';

/** Everything that makes a photo of a swatch. */
export interface SceneSpec {
  readonly fabric: FabricSpec;
  /** Middle of the fabric on the table, mm, and its turn. */
  readonly fabricCentreMm: readonly [number, number];
  readonly fabricRotationRad: number;
  readonly ground: GroundSpec;
  readonly reference: ReferenceSpec;
  readonly camera: CameraSpec;
  readonly light: LightSpec;
  readonly lens: LensSpec;
  /** JPEG quality that the photo goes through when it is written to a file; null for none. */
  readonly jpegQuality: number | null;
  readonly seed: number;
}

/** A drawn photo and what is true of it. */
export interface Scene {
  readonly image: RgbaImage;
  readonly truth: SceneTruth;
}

/** Samples along one side of a pixel: thin yarn needs more. */
const finenessFor = (yarnPx: number): number => (yarnPx > 24 ? 1 : yarnPx > 5 ? 2 : yarnPx > 2.5 ? 3 : 4);

/**
 * A stitch is seen by the outlines of its yarn, which lie at the height of the yarn's middle line, and by the lights on the yarn's back, half a
 * diameter higher; the outlines carry most of the contrast. So the height that a photo shows is taken a fifth of the way from the one to the
 * other. The mean surface lies π/8 diameters above the middle line (mean of √(1 − u²)/2 across the yarn).
 */
const SURFACE_ABOVE_SHOWN = Math.PI / 8 - 0.1;

/** Height that the photo shows, and the highest yarn, above the table, mm; yarn below `aboveMm` is left out. */
const shownHeight = (
  heights: Float32Array,
  cover: Float32Array,
  aboveMm: number,
  yarnMm: number,
): { visibleMm: number; topMm: number } => {
  let sum = 0;
  let count = 0;
  let topMm = 0;
  for (let p = 0; p < heights.length; p++) {
    if ((cover[p] as number) < 0.99) continue;
    const h = heights[p] as number;
    if (h > topMm) topMm = h;
    if (h < aboveMm) continue;
    sum += h;
    count++;
  }
  return { visibleMm: count > 0 ? sum / count - SURFACE_ABOVE_SHOWN * yarnMm : aboveMm, topMm };
};

/**
 * Draws a photo of a knitted swatch with exact truth. Deterministic: the same description gives the same bytes.
 * The JPEG round trip is left to whoever writes the file.
 */
export const drawScene = (spec: SceneSpec): Scene => {
  const camera = cameraOf(spec.camera);
  const { widthPx, heightPx } = spec.camera;
  const { fabric } = spec;
  const pxPerMm = spec.camera.focalPx / spec.camera.distanceMm;
  const yarnPx = fabric.yarn.diameterMm * pxPerMm;
  const lattice = latticeOf(fabric);
  const sheet = spec.reference.kind === 'paper' || spec.reference.kind === 'sheet' ? 0.1 : 0;
  const placement: Placement = {
    centreMm: spec.fabricCentreMm,
    rotationRad: spec.fabricRotationRad,
    heightMm: restHeightMm(fabric) + sheet,
  };
  const samples = Math.max(16, Math.min(40, Math.round(18 + yarnPx / 2)));
  const pieces = yarnPieces(yarnChains(fabric, lattice, samples), camera, placement);
  const reachMm = 2.2 * fabric.yarn.diameterMm;
  const box = boxOf(pieces, camera, 3 * reachMm * pxPerMm);
  const raster = rasterYarn(pieces, camera, box, finenessFor(yarnPx));
  const layer = lightYarn(fabric, pieces, raster, lampForCamera(spec.light, camera));
  const heights = heightsOf(layer, camera);
  const lamp = lampShare(heights, layer, camera, spec.light, reachMm);
  const sky = skyShare(heights, layer, camera, fabric.yarn.diameterMm);
  const picture = paintTable(camera, spec.ground, flatThingOf(spec.reference), spec.light);
  layFabric(picture, camera, spec, layer, { lamp, sky });
  lightOver(picture, widthPx, heightPx, spec.light);
  const image = expose(picture, widthPx, heightPx, spec.lens, spec.seed);
  const aboveMm = fabric.structure.kind === 'rib' ? placement.heightMm : 0;
  const truth = truthOf(
    fabric,
    lattice,
    camera,
    placement,
    shownHeight(heights, layer.cover, aboveMm, fabric.yarn.diameterMm),
    referenceTruth(camera, spec.reference, spec.ground),
  );
  return { image, truth };
};
