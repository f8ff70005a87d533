import type { PlaneMap } from './plane';

/** By how much the fabric's visible face looks larger than it is, because it lies nearer to the camera than the reference does. */
export interface Parallax {
  /** Lengths measured on the reference's plane are this many times too long; 1 where nothing is known. */
  readonly scaleFactor: number;
  /** Relative standard uncertainty of lengths that comes from it. */
  readonly relativeUncertainty: number;
  /** Height of the visible face above the reference's face, mm (negative below it). */
  readonly heightMm: number;
  /** One sentence for the user. */
  readonly note: string;
}

/** What is known of the fabric's height. */
export interface FabricHeight {
  /** Thickness of all that lies on the table, every layer together, as typed, mm; null when not given. */
  readonly thicknessMm: number | null;
  /** Layers that lie on each other: 2 for a flattened tube. */
  readonly layers: 1 | 2;
  /** Distance between neighbouring wales as it appears on the reference's plane, mm. */
  readonly walePitchMm: number;
  /** Distance between neighbouring courses likewise; absent where it is not known. */
  readonly coursePitchMm?: number;
  /** Whether some needle positions carry no stitches: their wales are narrower than a stitch is wide. */
  readonly hasNeedleGaps?: boolean;
  /** Whether purl columns stand on such needle positions: the fabric is a rib. */
  readonly hasPurlColumns?: boolean;
}

/**
 * What a photo shows of a layer is not its very top: the crossings and flanks of the yarn that mark a stitch lie at 0.77 of one layer's
 * thickness (mean over fourteen path-traced plain and mock-rib swatches with known heights; 0.75 to 0.78).
 */
const VISIBLE_SHARE = 0.77;

/**
 * Height of the visible face of a single layer from its wale pitch: 0.45 mm + 0.665 × pitch. Least squares over the same swatches (pitch 2.4 to
 * 4.7 mm); all plain ones lie within 4 % of the line. The constant is the air below a fabric that does not lie quite flat.
 */
const HEIGHT_AT_NO_PITCH_MM = 0.45;
const HEIGHT_PER_PITCH = 0.665;

/** That air may be missing altogether or be twice as much: a rectangular distribution (judgement, type B; JCGM 100:2008, 4.3.7). */
const AIR_UNCERTAINTY_MM = HEIGHT_AT_NO_PITCH_MM / Math.sqrt(3);
/**
 * How thick a yarn is for its stitch: tightness factors of plain weft-knitted fabrics run from about 12 to 17 (D. J. Spencer, Knitting Technology, from memory), and the
 * yarn's diameter for a given width of stitch goes with them: off by 17 % at most, rectangular likewise.
 */
const YARN_SHARE = 0.17 / Math.sqrt(3);

/** A relaxed plain stitch is 1.3 times as wide as it is high (kc / kw; D. L. Munden 1959, wool). */
const PLAIN_RATIO = 1.3;
/** Where it looks wider than this, columns lie hidden between those seen (rib); where it is narrower and no needles are out, every row seen is two (garter). */
const RIB_RATIO = 1.75;
const GARTER_RATIO = 1.05;
/**
 * Garter is thicker than plain fabric of the same yarn, since its ridges stand on both faces; but half of what a photo shows of it are the furrows between them, and so
 * what is seen lies hardly higher (1.02 ± 0.03 times, mean over 24 drawn pieces with known heights).
 */
const GARTER_HIGHER = 1.03;
/**
 * The knit columns of a rib lie on its purl columns: left to itself it is twice as thick as plain fabric of the same yarn (Spencer, from memory), drawn out no thicker.
 * A swatch that shows its purl columns is drawn out, so that its face is taken to lie a third higher (judgement).
 */
const RIB_HIGHER = 1.35;
/** Rib and garter may lie drawn out or closed up, and a stitch among needle gaps may have spread: half as uncertain again (judgement, type B). */
const UNPLAIN_SHARE = 1.5 * YARN_SHARE;
/** A typed thickness depends on how hard the jaws press (judgement, type B): 10 %, at least 0.2 mm. */
const TYPED_SHARE = 0.1;
const TYPED_LEAST_MM = 0.2;
/** Distance from which a hand-held photo of a swatch is usually taken, mm (common practice); used where the camera's height is unknown. */
const USUAL_DISTANCE_MM = 250;

/**
 * How wide a stitch of plain fabric of the same yarn would be, mm, from whichever of the two pitches tells it: thickness comes from the yarn, and columns are not
 * stitches in rib and among needle gaps.
 */
const plainWidth = ({
  walePitchMm: wale,
  coursePitchMm: course,
  hasNeedleGaps = false,
  hasPurlColumns = false,
}: FabricHeight): { readonly mm: number; readonly share: number } => {
  if (course === undefined) return { mm: wale, share: YARN_SHARE };
  if (hasPurlColumns) return { mm: RIB_HIGHER * Math.max(wale, PLAIN_RATIO * course), share: UNPLAIN_SHARE };
  const ratio = wale / course;
  // A rib that closes up is thicker than plain: its width is taken down no further than to the edge of what plain fabric shows.
  if (ratio > RIB_RATIO) return { mm: RIB_RATIO * course, share: UNPLAIN_SHARE };
  if (hasNeedleGaps) return { mm: Math.max(wale, PLAIN_RATIO * course), share: UNPLAIN_SHARE };
  if (ratio < GARTER_RATIO) return { mm: GARTER_HIGHER * wale, share: UNPLAIN_SHARE };
  return { mm: wale, share: YARN_SHARE };
};

/** Height of the visible face above the table, mm, with its standard uncertainty. */
export const visibleHeight = (
  fabric: FabricHeight,
): { readonly mm: number; readonly standardUncertainty: number } => {
  const { thicknessMm, layers } = fabric;
  if (thicknessMm !== null) {
    const hidden = (1 - VISIBLE_SHARE) * (thicknessMm / layers);
    return {
      mm: thicknessMm - hidden,
      standardUncertainty: Math.max(TYPED_LEAST_MM, TYPED_SHARE * thicknessMm),
    };
  }
  const width = plainWidth(fabric);
  const yarnMm = HEIGHT_PER_PITCH * width.mm;
  return {
    mm: layers * (HEIGHT_AT_NO_PITCH_MM + yarnMm),
    standardUncertainty: layers * Math.hypot(AIR_UNCERTAINTY_MM, width.share * yarnMm),
  };
};

const noteFor = (fabric: FabricHeight, heightMm: number, scaleFactor: number, known: boolean): string => {
  const source =
    fabric.thicknessMm === null ? 'guessed from the size of its stitches' : 'from the thickness you typed';
  const height = `The face of the fabric lies about ${heightMm.toFixed(1)} mm above the reference (${source})`;
  if (!known) {
    return `${height}; how far away the camera was is not known, so nothing is corrected and the ± is wider.`;
  }
  const percent = Math.abs(scaleFactor - 1) * 100;
  const word = scaleFactor >= 1 ? 'larger' : 'smaller';
  return `${height} and looks ${percent.toFixed(1)} % ${word} for that; this is corrected.`;
};

/**
 * Enlargement of the visible face: everything at height h above the reference's plane is seen larger by H / (H − h), H being the camera's height
 * above that plane (relief displacement of vertical photographs, d = r·h/H to first order). The uncertainty is the law of propagation of
 * JCGM 100:2008, 5.1.2, over h and H.
 */
export const parallaxOf = (
  fabric: FabricHeight,
  plane: Pick<PlaneMap, 'cameraHeightMm' | 'referenceHeightMm'>,
): Parallax => {
  const camera = plane.cameraHeightMm;
  const above = (enlarged: number): { readonly mm: number; readonly standardUncertainty: number } => {
    const { walePitchMm, coursePitchMm } = fabric;
    const face = visibleHeight({
      ...fabric,
      walePitchMm: walePitchMm / enlarged,
      ...(coursePitchMm === undefined ? {} : { coursePitchMm: coursePitchMm / enlarged }),
    });
    return {
      mm: face.mm - plane.referenceHeightMm,
      standardUncertainty: face.standardUncertainty,
    };
  };
  const apparent = above(1);
  if (camera === null) {
    return {
      scaleFactor: 1,
      relativeUncertainty: Math.hypot(apparent.mm, apparent.standardUncertainty) / USUAL_DISTANCE_MM,
      heightMm: apparent.mm,
      note: noteFor(fabric, apparent.mm, 1, false),
    };
  }
  // A face cannot reach up to the lens; the cap keeps absurd input finite.
  const enlargement = (h: number): number => camera.value / Math.max(camera.value - h, camera.value / 2);
  // The pitch that the height is guessed from is itself seen enlarged: one more round settles it.
  const height = above(enlargement(apparent.mm));
  const scaleFactor = enlargement(height.mm);
  const fromHeight = (scaleFactor * height.standardUncertainty) / camera.value;
  const fromCamera = (scaleFactor * height.mm * camera.standardUncertainty) / camera.value ** 2;
  return {
    scaleFactor,
    relativeUncertainty: Math.hypot(fromHeight, fromCamera),
    heightMm: height.mm,
    note: noteFor(fabric, height.mm, scaleFactor, true),
  };
};
