/** A colour as light: linear red, green and blue, 0 to 1. */
export type Light = readonly [number, number, number];

/** How the needles were set and which face is up. */
export type Structure =
  | { readonly kind: 'plainKnit' }
  | { readonly kind: 'plainPurl' }
  /** Plain knit face with one needle taken out of every `gapEvery`; the ladder is `gapWidth` wale pitches wide. */
  | { readonly kind: 'mockRib'; readonly gapEvery: number; readonly gapWidth: number }
  /** `knit` knit columns beside `purl` purl columns; openness 1 shows the purl columns in full, 0 hides them. */
  | { readonly kind: 'rib'; readonly knit: number; readonly purl: number; readonly openness: number }
  | { readonly kind: 'garter' };

/** Colour and surface of the yarn. */
export interface YarnSpec {
  readonly colour:
    | { readonly kind: 'solid'; readonly base: Light }
    | { readonly kind: 'heather'; readonly base: Light; readonly other: Light }
    | { readonly kind: 'marl'; readonly base: Light; readonly other: Light }
    | {
        readonly kind: 'speckle';
        readonly base: Light;
        readonly dots: readonly Light[];
        readonly share: number;
      }
    /** Colours that follow each other along the yarn, each for `runMm` of yarn. */
    | { readonly kind: 'stripes'; readonly colours: readonly Light[]; readonly runMm: number };
  readonly diameterMm: number;
  /** Strands twisted together. */
  readonly plies: number;
  /** Length of yarn in which the twist turns once, in yarn diameters. */
  readonly lay: number;
  /** Relief of the twist, 0 (smooth) to 1 (ropy). */
  readonly relief: number;
  /** Loose fibres standing off the yarn, 0 (none) to 1 (brushed). */
  readonly halo: number;
  /** Unevenness of the yarn's thickness as a share of its diameter (one standard deviation). */
  readonly slub: number;
}

/**
 * A piece of knitted fabric. Lengths are those of the undisturbed lattice; the truth is measured on the disturbed one.
 * Fabric coordinates: mm, origin at the middle, x along the courses to the right, y along the wales downward, knitting runs upward.
 */
export interface FabricSpec {
  readonly structure: Structure;
  /** Needle positions, needle gaps included. */
  readonly needles: number;
  readonly courses: number;
  readonly walePitchMm: number;
  readonly coursePitchMm: number;
  readonly yarn: YarnSpec;
  /**
   * Shape of a single loop: sideways swing of the legs as a share of the wale pitch (about 0.2 to 0.28), and how far head and
   * feet reach up and down in course pitches (about 1.05 to 1.25).
   */
  readonly loop: { readonly spread: number; readonly reach: number };
  /** Slope of the courses against the square of the wales (skew), radians. */
  readonly skewRad: number;
  /** Lean of the wales (spirality), radians. */
  readonly leanRad: number;
  /** How far the middle of a course sags below its ends, mm. */
  readonly bowMm: number;
  /** Largest local strain of the slowly varying stretch, as a share (0.02 = 2 %). */
  readonly stretch: number;
  /** Scatter of single stitches as a share of the pitch (one standard deviation); no part of the truth. */
  readonly jitter: number;
  /** Scatter of whole courses' heights as a share of the pitch, and every how many courses one is tight (0: never). */
  readonly unevenness: { readonly share: number; readonly every: number };
  /** Air below a fabric that does not lie quite flat, mm. */
  readonly liftMm: number;
  /** How far the side edges roll, radians (0: flat). */
  readonly curlRad: number;
  /** Stitches that came off their needles and ran down, until the needle caught the yarn again. */
  readonly dropped: readonly Dropped[];
  readonly seed: number;
}

/** A dropped stitch: on this needle, from its topmost course down, so many courses show a ladder instead of a stitch. */
export interface Dropped {
  readonly needle: number;
  readonly course: number;
  readonly courses: number;
}

/** Whether a needle holds no stitch in a course because one was dropped. */
export const isDropped = ({ dropped }: FabricSpec, needle: number, course: number): boolean =>
  dropped.some((d) => d.needle === needle && course >= d.course && course < d.course + d.courses);

/** One needle position across the fabric. */
export interface Column {
  readonly kind: 'knit' | 'purl' | 'gap';
  /** Middle and width in the undisturbed lattice, mm. */
  readonly centreMm: number;
  readonly widthMm: number;
  /** Height of the column's own middle above the fabric's, mm. */
  readonly raisedMm: number;
}

const kindOf = (structure: Structure, needle: number): Column['kind'] => {
  switch (structure.kind) {
    case 'plainKnit':
    case 'garter':
      return 'knit';
    case 'plainPurl':
      return 'purl';
    case 'mockRib':
      return needle % structure.gapEvery === structure.gapEvery - 1 ? 'gap' : 'knit';
    case 'rib':
      return needle % (structure.knit + structure.purl) < structure.knit ? 'knit' : 'purl';
  }
};

const widthShare = (structure: Structure, kind: Column['kind']): number => {
  if (kind === 'gap' && structure.kind === 'mockRib') return structure.gapWidth;
  if (kind === 'purl' && structure.kind === 'rib') return 0.12 + 0.78 * structure.openness;
  return 1;
};

/** The needle positions from left to right, centred on zero. */
export const columnsOf = (spec: FabricSpec): readonly Column[] => {
  const { structure, needles, walePitchMm, yarn } = spec;
  const bare = Array.from({ length: needles }, (_, needle) => {
    const kind = kindOf(structure, needle);
    const sunk = structure.kind === 'rib' ? yarn.diameterMm * (1.1 - 0.5 * structure.openness) : 0;
    return {
      kind,
      widthMm: walePitchMm * widthShare(structure, kind),
      raisedMm: kind === 'purl' ? -sunk / 2 : sunk / 2,
    };
  });
  const total = bare.reduce((sum, column) => sum + column.widthMm, 0);
  let edge = -total / 2;
  return bare.map((column) => {
    const centreMm = edge + column.widthMm / 2;
    edge += column.widthMm;
    return { ...column, centreMm };
  });
};

/** +1 where a stitch shows its knit face, −1 where it shows its purl face. */
export const faceSign = (spec: FabricSpec, column: Column, course: number): number => {
  if (spec.structure.kind === 'garter') return course % 2 === 0 ? 1 : -1;
  return column.kind === 'purl' ? -1 : 1;
};
