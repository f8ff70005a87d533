import type { PhotoPoint } from '../src/domain/coordinates';
import type {
  Measurement,
  PhotoFacts,
  ReferenceKind,
  ScaleReference,
  StitchFinding,
} from '../src/domain/measurement';
import type { PaperName } from '../src/domain/paper';
import type { PrintScale } from '../src/domain/referenceSheet';

/** What the user has said already and the pipeline must respect. */
export interface MeasureHints {
  /** Spacing of the mat's heavy lines in mm; null when the user has not said it. */
  readonly gridPitchMm: number | null;
  /** Distance between neighbouring marks of a ruler in mm, once the user has said it. */
  readonly tickPitchMm?: number | null;
  /** Diameter of the coin in mm, once the user has said which it is. */
  readonly coinDiameterMm?: number | null;
  /** Size of the sheet of paper, once the user has said it. */
  readonly paperSize?: PaperName | null;
  /** What the check rulers of the printed sheet really measure, over what they should, once the user has said it. */
  readonly sheetPrint?: PrintScale | null;
  /** A reference whose place the user has pointed out, to be fitted beside those that find themselves. */
  readonly placed?: ReferenceCorrection | null;
  /** Which kind of reference to look for; `auto` looks for all of them. */
  readonly reference: 'auto' | 'none' | ReferenceKind;
  /** Only look for stitches inside this polygon (photo px). */
  readonly region: readonly PhotoPoint[] | null;
  /** Typed or measured thickness of the fabric in mm; null if unknown. */
  readonly thicknessMm: number | null;
}

/** Two neighbouring columns and two neighbouring rows that the user tapped, to grow the grid from. */
export interface GrowthSeeds {
  readonly wales: readonly [PhotoPoint, PhotoPoint];
  readonly courses: readonly [PhotoPoint, PhotoPoint];
}

/** Corrected handles of one reference, to be fitted again (snapped to the edges and lines nearby). */
export interface ReferenceCorrection {
  readonly kind: ReferenceKind;
  readonly handles: readonly PhotoPoint[];
  readonly pitchMm: number | null;
  /** Typed length between two points, mm. */
  readonly lengthMm: number | null;
  /** Size of a sheet of paper, if it is one. */
  readonly paperSize?: PaperName | null;
  /** The stitches as far as they are known: they tell how the camera was tilted. */
  readonly stitches?: Pick<StitchFinding, 'grid' | 'window'> | null;
}

/** The photo travels once; later requests name it by its key. */
export type VisionRequest =
  | {
      readonly kind: 'openPhoto';
      readonly id: number;
      readonly photoKey: string;
      readonly bytes: ArrayBuffer;
    }
  | { readonly kind: 'measure'; readonly id: number; readonly photoKey: string; readonly hints: MeasureHints }
  | {
      readonly kind: 'findStitches';
      readonly id: number;
      readonly photoKey: string;
      readonly hints: MeasureHints;
    }
  | {
      readonly kind: 'growStitches';
      readonly id: number;
      readonly photoKey: string;
      readonly seeds: GrowthSeeds;
    }
  | {
      readonly kind: 'correctReference';
      readonly id: number;
      readonly photoKey: string;
      readonly correction: ReferenceCorrection;
    };

/** What each request gives back. */
export interface VisionResults {
  readonly openPhoto: PhotoFacts;
  readonly measure: Measurement;
  readonly findStitches: StitchFinding;
  readonly growStitches: StitchFinding;
  readonly correctReference: ScaleReference;
}

/** Stages that a progress message can name, in the order in which they run. */
export type Stage = 'load' | 'decode' | 'reference' | 'pitch' | 'template' | 'grid' | 'confidence';

/** Why a request failed. `photo…` codes are the user's to mend; the sentence says what is wrong and what to do. */
export type VisionErrorCode =
  | 'photoUnknownKind'
  | 'photoTruncated'
  | 'photoTooLarge'
  | 'photoTooSmall'
  | 'photoNotDecodable'
  | 'photoNotOpen'
  | 'correctionRefused'
  | 'visionUnavailable'
  | 'outOfMemory'
  | 'cancelled'
  | 'internal';

/** A failure of the photo or vision code with one clear sentence for the user: what is wrong and what to do. */
export class VisionFailure extends Error {
  readonly code: VisionErrorCode;
  constructor(code: VisionErrorCode, sentence: string, options?: ErrorOptions) {
    super(sentence, options);
    this.name = 'VisionFailure';
    this.code = code;
  }
}

export type VisionReply =
  | { readonly kind: 'ready' }
  | { readonly kind: 'progress'; readonly id: number; readonly stage: Stage; readonly share: number }
  | { readonly kind: 'result'; readonly id: number; readonly result: VisionResults[keyof VisionResults] }
  | {
      readonly kind: 'failure';
      readonly id: number;
      readonly code: VisionErrorCode;
      readonly sentence: string;
    };
