import type { Uncertain } from '../../src/domain/gauge';
import type { Homography } from '../../src/domain/plane';
import type { MeasureHints } from '../../workers/contract';

/** What is known of a photo before it is measured; null where its truth does not say. */
export interface KnownPhoto {
  /** Visible stitches and visible rows per inch. */
  readonly gauge: { readonly stitchesPerInch: number; readonly rowsPerInch: number } | null;
  /** Photo px → mm on the fabric as the photo shows it. */
  readonly photoToFabric: Homography | null;
  /** Pitch of wales and courses, photo px, and how well that is known, as a share. */
  readonly pitchPx: { readonly wale: number; readonly course: number; readonly tolerance: number } | null;
  /** Places with known mm in the plane of the reference. */
  readonly scalePoints: readonly {
    readonly mm: readonly [number, number];
    readonly px: readonly [number, number];
  }[];
  readonly referenceKind: string;
  /** What its user would have said once of her reference. */
  readonly said: Pick<
    MeasureHints,
    'gridPitchMm' | 'tickPitchMm' | 'coinDiameterMm' | 'paperSize' | 'sheetPrint'
  >;
  /** Layers of fabric, which its user would say: 2 for a flattened tube. */
  readonly layers: 1 | 2;
  /** Where to look, if the truth holds only for a part of the photo: left, top, right, bottom, photo px. */
  readonly region: readonly [number, number, number, number] | null;
}

/** One photo to measure. */
export interface BenchCase {
  readonly name: string;
  readonly set: 'sample' | 'extra' | 'real' | 'generated';
  readonly kind: string;
  /** Folder for a small picture of the photo, should it come out wrong; null for none. */
  readonly pictureFolder: string | null;
  readonly source:
    | { readonly from: 'file'; readonly path: string; readonly known: KnownPhoto }
    | { readonly from: 'seed'; readonly seed: number; readonly kind: string; readonly maximumPx: number };
}

/** What came of one photo. Errors are shares: value / truth − 1. */
export interface BenchRow {
  readonly name: string;
  readonly set: BenchCase['set'];
  readonly kind: string;
  readonly referenceKind: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerStitch: number | null;
  readonly truth: KnownPhoto['gauge'];
  readonly value: { readonly stitchesPerInch: Uncertain; readonly rowsPerInch: Uncertain } | null;
  /** Of the gauge with the scale that was found. */
  readonly gaugeError: { readonly stitches: number; readonly rows: number } | null;
  /** Of the stitches alone, on the true scale (or of the pitch in px where only that is known). */
  readonly stitchError: { readonly stitches: number; readonly rows: number } | null;
  /** How well the truth is known, as a share. */
  readonly tolerance: number;
  readonly scaleError: number | null;
  readonly scalePlusMinus: number | null;
  readonly foundReference: string | null;
  /** Of the result as a whole, and of the stitches alone. */
  readonly status: 'measured' | 'proposal' | 'unreadable';
  readonly stitchStatus: 'measured' | 'proposal' | 'unreadable';
  readonly chance: number;
  /** Why the stitches alone are not surer, most important first. */
  readonly stitchReasons: readonly string[];
  readonly timingsMs: Readonly<Record<string, number>>;
}

/** The larger of both densities' errors, as a share; infinite where nothing was measured. */
export const worst = (error: { readonly stitches: number; readonly rows: number } | null): number =>
  error === null ? Infinity : Math.max(Math.abs(error.stitches), Math.abs(error.rows));

/** File name of the picture of a photo that came out wrong. */
export const pictureName = (photo: string): string => `${photo.replace(/[^a-z0-9-]+/gi, '-')}.jpg`;
