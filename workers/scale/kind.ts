import type { CameraLevel } from '../../src/domain/cameraLevel';
import type { PhotoFacts, ReferenceKind, ScaleReference } from '../../src/domain/measurement';
import type { MeasureHints, ReferenceCorrection } from '../contract';
import type { GreyImage, WorkImage } from '../image';
import type { FittedGrid } from './gridFit';
import type { Outline } from './quads';
import type { Polarity, RidgeMap } from './ridges';
import type { Segment } from './segments';

/** Segments of thin light and dark lines, with the picture they were found in. */
export interface LineSegments {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Work px per px of the picture that the segments are in. */
  readonly workPxPerPx: number;
  readonly segments: Readonly<Record<Polarity, readonly Segment[]>>;
}

/** Edges of brightness with the straight segments among them. */
export interface EdgeSegments {
  readonly map: RidgeMap;
  /** Work px per px of the picture that edges and segments are in. */
  readonly workPxPerPx: number;
  /** Straight pieces that do not belong to a printed grid; their `strength` is how much the ground differs on both sides. */
  readonly segments: readonly Segment[];
  /** The pictures that the edges were found in, all of one size. */
  readonly pictures: readonly GreyImage[];
}

/** Outlines with four straight sides, with the picture they were found in. */
export interface FoundOutlines {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Work px per px of the picture that the outlines are in. */
  readonly workPxPerPx: number;
  readonly outlines: readonly Outline[];
}

/** What all kinds of reference share: the photo and pictures derived from it, each made once when first asked for. */
export interface ScaleContext {
  readonly work: WorkImage;
  readonly photo: PhotoFacts;
  readonly hints: MeasureHints;
  readonly lightness: () => GreyImage;
  /** Red minus blue. */
  readonly warmth: () => GreyImage;
  /** Green minus the mean of red and blue. */
  readonly greenness: () => GreyImage;
  readonly lines: () => LineSegments;
  /** Lines in the picture at half the size: those that are blurred or drowned in grain show only there. */
  readonly coarseLines: () => LineSegments;
  /** Those that stand by themselves on open ground, off the swatch and other texture. */
  readonly openLines: () => LineSegments;
  /** Those that do not belong to a printed grid. */
  readonly looseLines: () => LineSegments;
  readonly edges: () => EdgeSegments;
  /** Edges in the picture at half the size, and of green against magenta too: threads, grain and thin lines fade there, outlines stay. */
  readonly coarseEdges: () => EdgeSegments;
  /** Outlines of whatever shape among {@link edges}. */
  readonly outlines: () => FoundOutlines;
  /** Those among {@link coarseEdges}. */
  readonly coarseOutlines: () => FoundOutlines;
  /** The printed grid, in work px, when one is surely there. */
  readonly grid: () => FittedGrid | null;
  /** How the table stands to the camera, as far as anything in the photo tells. */
  readonly level: () => CameraLevel;
  /** The middle of the swatch, photo px; null as long as none is known. */
  readonly swatchAt: { readonly x: number; readonly y: number } | null;
}

/** One kind of thing of known length: how it finds itself and how it takes a correction. */
export interface ReferenceFinder {
  readonly kind: ReferenceKind;
  /** Candidates, best first; empty when there is none. */
  readonly find: (context: ScaleContext) => ScaleReference[];
  /**
   * By how much, ln, the scale of what is still the same thing may change where it lies once the fabric tells the tilt. Kinds without it show the tilt themselves and
   * are not fitted again.
   */
  readonly sameWithin?: number;
  /** Whether it shows its own tilt, so that its ± grows on the way to the swatch: what was fitted with the swatch known then says more than what was fitted before. */
  readonly showsTilt?: boolean;
  /** Fits itself again to handles that the user moved. */
  readonly correct: (context: ScaleContext, correction: ReferenceCorrection) => ScaleReference;
}
