import type { PhotoPoint } from './coordinates';
import type { CountWindow, Face, StitchGrid } from './grid';
import type { PlaneMap } from './plane';

/** The kinds of thing of known length that can be found in a photo. */
export type ReferenceKind = 'grid' | 'card' | 'twoPoints' | 'ruler' | 'coin' | 'paper' | 'sheet' | 'caliper';

/**
 * What must still be said about a found reference. All but `checkRulers` leave it without millimetres; a printed sheet has them at once, with the ± of not
 * knowing what the printer made of its size.
 */
export type OpenQuestion =
  | 'gridPitch'
  | 'tickPitch'
  | 'coinDiameter'
  | 'paperSize'
  | 'length'
  | 'checkRulers'
  | null;

/** The lines of a grid that a step runs between. */
export type GridLines = 'heavy' | 'neighbouring' | 'unclear';

/** One thing of known length, found or placed in a photo. */
export interface ScaleReference {
  readonly kind: ReferenceKind;
  /** How surely this is what it says, 0 to 1; candidates are ranked by it. */
  readonly score: number;
  /** Outline to draw over the photo: closed polygons or open lines, photo px. */
  readonly outline: readonly (readonly PhotoPoint[])[];
  /** What the user can drag to correct it: corners, ends, line crossings. */
  readonly handles: readonly PhotoPoint[];
  /** Distance between neighbouring marks in mm, for a grid or ruler, once it is known. */
  readonly pitchMm: number | null;
  /** What the user must say first; null when nothing is open. */
  readonly question: OpenQuestion;
  /** The plane it gives, with `pitchMm` (or the typed length) taken into account; null while a question is open that it needs. */
  readonly plane: PlaneMap | null;
  /**
   * The plane in units of the reference's own step (a grid's heavy line spacing = 1), when a question is open or answered; scaling by the step in
   * mm makes it a `plane`.
   */
  readonly unitPlane: PlaneMap | null;
  /** One sentence for the user: what was found. */
  readonly sentence: string;
  /**
   * Which lines of a grid its step runs between: heavy ones that were told apart from finer ones, or any two neighbours; `unclear` where heavy and
   * fine lines may have been taken for one another.
   */
  readonly gridLines?: GridLines;
  /** Every how many marks of a ruler a longer one comes; null when that could not be told. */
  readonly longMarkEvery?: number | null;
  /** What a printed sheet's check rulers really measure, over what they should, once she has said it. */
  readonly printScale?: { readonly across: number; readonly along: number };
}

/** How far the result may be believed. */
export interface Confidence {
  /** `measured` only when the chance of being within 1 % is above 0.99. */
  readonly status: 'measured' | 'proposal' | 'unreadable';
  /** Chance that both densities are within 1 % of the truth. */
  readonly chance: number;
  /** One sentence each, most important first: what limits the result and what would settle it. */
  readonly reasons: readonly string[];
}

/** What the stitch stages found in a photo. */
export interface StitchFinding {
  readonly grid: StitchGrid | null;
  readonly window: CountWindow | null;
  /** Mean distance between neighbouring wales and courses over the window, photo px. */
  readonly pitchPx: { readonly wale: number; readonly course: number } | null;
  readonly face: Face;
  /** Outline of the fabric that carries the repeating texture, photo px. */
  readonly region: readonly PhotoPoint[];
  /** Scatter of detected stitches about the smooth grid, as a share of the pitch. */
  readonly scatter: { readonly wale: number; readonly course: number } | null;
  /** Places where two ways round the grid disagree (a slip, an edge), and ladders that dropped stitches left. */
  readonly disagreements: readonly PhotoPoint[];
  readonly confidence: Confidence;
}

/** Facts about the photo itself. */
export interface PhotoFacts {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly mime: string;
  /** When the photo was taken, as its own record says (ISO 8601 without zone), or null. */
  readonly takenAt: string | null;
  /** Focal length in 35 mm equivalent, mm, if the file says so. */
  readonly focalLength35Mm: number | null;
  /** One sentence each: things to know before measuring (blurred, dark, animated: first picture taken …). */
  readonly remarks: readonly string[];
}

/** The whole result of the pipeline for one photo. */
export interface Measurement {
  readonly photo: PhotoFacts;
  /** All references found, best first. */
  readonly references: readonly ScaleReference[];
  /** Index into `references` of the one whose plane is used; null when none gives millimetres yet. */
  readonly chosenReference: number | null;
  readonly stitches: StitchFinding;
  readonly timingsMs: Readonly<Record<string, number>>;
}
