/** An upright photo as plain data: `data` holds width × height RGBA bytes, row by row. */
export interface RgbaImage {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Uint8ClampedArray;
}

/** A single-channel picture as plain data, row by row. */
export interface GreyImage {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly data: Float32Array;
}

/**
 * The picture that the vision stages work on, and how large the full photo is beside it.
 * `photoPxPerWorkPx` turns a length in work pixels into photo pixels; both spaces share their origin (outer corner of
 * the top-left pixel), so a point is scaled by the same factor.
 */
export interface WorkImage {
  readonly image: RgbaImage;
  readonly photoPxPerWorkPx: number;
}
