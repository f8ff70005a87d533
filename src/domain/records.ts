import type { GridEdit } from './edits';
import type { Uncertain } from './gauge';
import type { CountWindow } from './grid';
import type { Measurement, PhotoFacts, ReferenceKind, ScaleReference } from './measurement';

/** A random identifier that is unique for good. */
export type Id = string;
/** A moment, ISO 8601 in UTC. */
export type Moment = string;

export interface Yarn {
  readonly id: Id;
  readonly name: string;
  readonly maker: string;
  readonly fibre: string;
  readonly colour: string;
  readonly lot: string;
  /** Linear density in tex (g per km); null when unknown. */
  readonly tex: number | null;
  /** Turns of the yarn side by side on one inch, as she counted them: a hint of its weight, no more. */
  readonly wrapsPerInch?: number | null;
  /** Its colour as a swatch's photo shows it, #rrggbb. */
  readonly seenColour?: string | null;
  /** Photo of its band. */
  readonly photoId?: Id | null;
  readonly notes: string;
  readonly createdAt: Moment;
  readonly updatedAt: Moment;
}

export interface Machine {
  readonly id: Id;
  readonly name: string;
  /** Needle counts of the cylinders that belong to it. */
  readonly cylinderNeedles: readonly number[];
  readonly notes: string;
  readonly createdAt: Moment;
  readonly updatedAt: Moment;
}

/** Which part of the caliper touches: the outside jaws, the inside jaws or the depth rod. */
export type Jaw = 'outside' | 'inside' | 'depth';

/** A pair of points on a machine that a caliper reading runs between. */
export interface Landmark {
  readonly id: Id;
  readonly machineId: Id;
  readonly name: string;
  readonly jaw: Jaw;
  readonly description: string;
  readonly createdAt: Moment;
  readonly updatedAt: Moment;
}

/** What the caliper showed, one to nine times, exactly as typed and in millimetres. */
export interface CaliperReading {
  readonly landmarkId: Id | null;
  readonly unit: 'mm' | 'in';
  readonly repeats: readonly { readonly typed: string; readonly mm: number }[];
}

/** What has happened to the fabric since it left the needles. */
export type RestState = 'offMachine' | 'rested' | 'washedAndDried' | 'worn';

/** The scale that the user confirmed, and where it came from. */
export interface ConfirmedScale {
  readonly reference: ScaleReference;
  readonly confirmedBy: 'user' | 'remembered';
  /** The named reference (a mat of hers) that it was taken from, if any. */
  readonly namedReferenceId: Id | null;
}

/** A reference that she owns and that is recognised again: "my green mat". */
export interface NamedReference {
  readonly id: Id;
  readonly name: string;
  readonly kind: ReferenceKind;
  readonly pitchMm: number | null;
  readonly lastUsedAt: Moment;
  /** What the check rulers of a printed sheet really measure, over what they should. */
  readonly printScale?: { readonly across: number; readonly along: number };
}

/** The numbers of a swatch that lists and comparisons read without opening the grid. */
export interface GaugeSummary {
  readonly walesPerMm: Uncertain;
  readonly coursesPerMm: Uncertain;
  readonly walesInWindow: number;
  readonly coursesInWindow: number;
  readonly status: 'measured' | 'proposal' | 'byHand';
}

/** One swatch, from the first photo to the finished record. A draft is what is being measured now. */
export interface Swatch {
  readonly id: Id;
  readonly state: 'draft' | 'saved';
  readonly photoId: Id | null;
  readonly photoFacts: PhotoFacts | null;
  readonly measurement: Measurement | null;
  readonly scale: ConfirmedScale | null;
  /** Thickness of the fabric in mm as typed; null when not given. */
  readonly thicknessMm: number | null;
  /** Layers of fabric that lie on each other in the photo: 1, or 2 for a flattened tube. */
  readonly layers: 1 | 2;
  /** The user's corrections, in order, applied to the detected grid. */
  readonly edits: readonly GridEdit[];
  /** Corrections taken back, last taken back first, for redo. */
  readonly undone: readonly GridEdit[];
  /** The counted window; null for the one that detection proposed. */
  readonly window: CountWindow | null;
  readonly gauge: GaugeSummary | null;
  readonly yarnId: Id | null;
  readonly machineId: Id | null;
  readonly cylinderNeedles: number | null;
  readonly reading: CaliperReading | null;
  readonly restState: RestState | null;
  readonly notes: string;
  readonly createdAt: Moment;
  readonly updatedAt: Moment;
  /** Set when the user deleted it; it is kept until the deletion can no longer be undone. */
  readonly deletedAt: Moment | null;
  /** The swatch that this one was split off from because two windows changed it at once; left out otherwise. */
  readonly copiedFrom?: Id;
  /**
   * The first measurement of the same piece of fabric, when this is a later one (rested, washed, worn); left out for a piece's first.
   */
  readonly pieceId?: Id;
}

/** The photo as it came, byte for byte, and a small picture of it for lists. */
export interface Photo {
  readonly id: Id;
  readonly fileName: string;
  readonly mime: string;
  readonly bytes: ArrayBuffer;
  readonly thumbnail: { readonly mime: string; readonly bytes: ArrayBuffer } | null;
  readonly createdAt: Moment;
}
