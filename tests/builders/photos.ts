import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodeInNode } from '../../cli/decode';
import { type OpenedPhoto, openPhoto } from '../../workers/photo/openPhoto';

/** Folder of the sample photos and their truth files. */
export const sampleFolder = join(import.meta.dirname, '../../sample-images');

/** Reads the bytes of a sample photo, named without its ending: `oatmeal-inch-mat`. */
export const sampleBytes = (name: string): Uint8Array<ArrayBuffer> =>
  new Uint8Array(readFileSync(join(sampleFolder, `${name}.jpg`)));

/** Opens any photo's bytes as the product does, with Node's decoder: facts, header and work image. */
export const openBytes = (bytes: Uint8Array): Promise<OpenedPhoto> => openPhoto(bytes, decodeInNode);

/** Opens a sample photo, named without its ending. */
export const openSample = (name: string): Promise<OpenedPhoto> => openBytes(sampleBytes(name));

/** What is known of a sample photo; px continuous, pixel centres at + 0.5, homographies row-major. */
export interface SampleTruth {
  readonly photo: string;
  readonly image: { readonly width: number; readonly height: number };
  readonly kind: 'stockinette' | 'purl' | 'mock3x1';
  readonly gauge: {
    readonly stitches_per_inch: number;
    readonly needle_positions_per_inch: number;
    readonly rows_per_inch: number;
    readonly region_px: readonly (readonly [number, number])[];
  };
  readonly homography_px_to_mat_mm: readonly (readonly number[])[];
  readonly homography_px_to_fabric_mm: readonly (readonly number[])[];
  readonly homography_px_to_fabric_visible_mm: readonly (readonly number[])[];
  readonly fabric_visible_height_above_mat_mm: number;
  readonly fabric_top_height_above_mat_mm: number;
  readonly swatch_polygon_px: readonly (readonly [number, number])[];
  readonly wales: readonly {
    readonly index: number;
    readonly visible: boolean;
    readonly px: readonly (readonly [number, number])[];
  }[];
  readonly courses: readonly {
    readonly index: number;
    readonly px: readonly (readonly [number, number])[];
  }[];
  readonly reference: {
    readonly type: 'mat' | 'card' | 'ruler' | 'coin' | 'none';
    readonly pitch_mm?: number;
    readonly fine_pitch_mm?: number;
    readonly grid_points?: readonly {
      readonly mm: readonly [number, number];
      readonly px: readonly [number, number];
      readonly occluded: boolean;
    }[];
    readonly corners_px?: readonly (readonly [number, number])[];
  };
  readonly camera: {
    readonly tilt_deg: number;
    readonly swatch_rotation_deg: number;
    readonly distance_mm: number;
  };
}

/** The truth of a sample photo, named without its ending. */
export const sampleTruth = (name: string): SampleTruth =>
  JSON.parse(readFileSync(join(sampleFolder, `${name}.truth.json`), 'utf8')) as SampleTruth;
