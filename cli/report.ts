import type { PhotoPoint } from '../src/domain/coordinates';
import type { Uncertain } from '../src/domain/gauge';
import type { GridLine } from '../src/domain/grid';
import type { ReferenceKind } from '../src/domain/measurement';

/** A wale or course of the result: its place in the order and the points it runs through, photo px. */
export interface ReportedLine {
  readonly index: number;
  readonly px: readonly (readonly [number, number])[];
}

/**
 * What the command says of one photo. The shape is a contract with the scripts that read it: it may grow and never
 * changes. Pixels are those of the upright photo at full resolution, continuous, pixel centres at + 0.5.
 */
export interface PhotoReport {
  readonly photo: string;
  readonly status: 'measured' | 'proposal' | 'unreadable';
  /** One sentence each: what limits the result and what would settle it. */
  readonly reasons: readonly string[];
  readonly reference: {
    readonly kind: ReferenceKind;
    readonly pitchMm?: number;
    readonly residualPx: number;
    readonly tiltDeg: number;
  } | null;
  /** Photo px → mm on the plane of the reference, row-major. */
  readonly planeMap: readonly number[] | null;
  /** Mean distance of neighbouring wales and courses over the window; needs no reference. */
  readonly pitchPx: { readonly wale: number; readonly course: number } | null;
  readonly gauge: {
    readonly stitchesPerInch: Uncertain;
    readonly rowsPerInch: Uncertain;
    /** Stitches and needle gaps together; the same as stitches where there are no gaps. */
    readonly needlePositionsPerInch: Uncertain;
    /** How far rows are off square to columns (spirality), degrees. */
    readonly spiralityDeg: Uncertain;
  } | null;
  readonly face: 'knit' | 'purl' | 'unknown';
  readonly windowPx: readonly (readonly [number, number])[];
  readonly wales: readonly ReportedLine[];
  readonly courses: readonly ReportedLine[];
  readonly timingsMs: Readonly<Record<string, number>>;
  /** Things to know about the photo itself. */
  readonly remarks: readonly string[];
}

/** Hundredths of a pixel are finer than anything measured. */
const rounded = (px: number): number => Math.round(px * 100) / 100;

/** A point as the report writes it. */
export const pair = (point: PhotoPoint): [number, number] => [rounded(point.x), rounded(point.y)];

/** The lines of one family as the report writes them. */
export const reportedLines = (lines: readonly GridLine[]): ReportedLine[] =>
  lines.map((line, index) => ({ index, px: line.points.map(pair) }));

/** The report of a photo that could not be read. */
export const unreadable = (
  photo: string,
  sentence: string,
  timingsMs: Readonly<Record<string, number>>,
): PhotoReport => ({
  photo,
  status: 'unreadable',
  reasons: [sentence],
  reference: null,
  planeMap: null,
  pitchPx: null,
  gauge: null,
  face: 'unknown',
  windowPx: [],
  wales: [],
  courses: [],
  timingsMs,
  remarks: [],
});
