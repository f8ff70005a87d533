import type { Homography } from '../../src/domain/plane';
import type { FabricSpec } from './fabric';
import type { Lattice } from './fabric-lattice';
import { type Placement, placeOnTable } from './fabric-raster';
import type { Camera } from './scene-camera';
import type { ReferenceTruth } from './scene-truth-reference';

export type Px = readonly [number, number];

/** One wale or course of the truth, in photo px. */
export interface TruthLine {
  readonly index: number;
  readonly kind: 'knit' | 'purl' | 'gap' | 'course';
  /** False where an edge rolls under. */
  readonly visible: boolean;
  readonly px: readonly Px[];
}

/** The gauge over the central 60 % × 60 % of the stitches; lengths run along the smooth courses and wales. */
export interface GaugeTruth {
  /** Columns that show their stitches (knit columns of a rib, needle gaps left out). */
  readonly stitchesPerInch: number;
  /** Every needle position, gaps and purl columns included. */
  readonly needlePositionsPerInch: number;
  /** Every course; `visibleRowsPerInch` counts the ridges of a garter face, and is the same otherwise. */
  readonly rowsPerInch: number;
  readonly visibleRowsPerInch: number;
  /** What a perfect measurement reads that takes the yarn to lie in the plane of the reference. */
  readonly inReferencePlane: { readonly stitchesPerInch: number; readonly rowsPerInch: number };
  /** The counted area, photo px. */
  readonly regionPx: readonly Px[];
}

/** All that is known about a drawn photo. */
export interface SceneTruth {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Photo px → table mm, and photo px → mm at the height that the photo shows of the yarn. */
  readonly photoToTable: Homography;
  readonly photoToFabric: Homography;
  /** Heights above the table, mm. */
  readonly visibleHeightMm: number;
  readonly middleHeightMm: number;
  readonly topHeightMm: number;
  readonly cameraHeightMm: number;
  readonly wales: readonly TruthLine[];
  readonly courses: readonly TruthLine[];
  readonly gauge: GaugeTruth;
  /** Mean pitch between neighbouring needle positions and courses at the middle of the swatch, photo px. */
  readonly pitchPx: { readonly wale: number; readonly course: number };
  readonly reference: ReferenceTruth;
  /** Places about the swatch in the plane of the reference's upper face: what a scale must get right. */
  readonly scalePoints: readonly { readonly mm: Px; readonly px: Px }[];
  readonly focalLength35Mm: number;
}

const INCH = 25.4;

/** First and last index of a run over the central 60 % that is a whole number of repeats long. */
export const centralRun = (count: number, repeat: number): [number, number] => {
  const from = Math.ceil((0.2 * count) / repeat) * repeat;
  const repeats = Math.max(1, Math.floor((0.8 * count - from) / repeat));
  return [from, Math.min(count - 1, from + repeats * repeat)];
};

const repeatOf = (spec: FabricSpec): { needles: number; shown: number; courses: number } => {
  const { structure } = spec;
  switch (structure.kind) {
    case 'mockRib':
      return { needles: structure.gapEvery, shown: structure.gapEvery - 1, courses: 1 };
    case 'rib':
      return { needles: structure.knit + structure.purl, shown: structure.knit, courses: 1 };
    case 'garter':
      return { needles: 1, shown: 1, courses: 2 };
    default:
      return { needles: 1, shown: 1, courses: 1 };
  }
};

const pathLength = (lattice: Lattice, from: Px, to: Px): number => {
  const steps = 64;
  let length = 0;
  let last = lattice.place(from[0], from[1]);
  for (let i = 1; i <= steps; i++) {
    const f = i / steps;
    const place = lattice.place(from[0] + (to[0] - from[0]) * f, from[1] + (to[1] - from[1]) * f);
    length += Math.hypot(place.x - last.x, place.y - last.y);
    last = place;
  }
  return length;
};

const meanOver = (from: number, to: number, value: (share: number) => number): number => {
  const n = 15;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += value(from + ((to - from) * i) / (n - 1));
  return sum / n;
};

/** Gauge of the disturbed lattice, and the four lattice corners of the area that it holds for. */
export const gaugeOfLattice = (
  spec: FabricSpec,
  lattice: Lattice,
): Omit<GaugeTruth, 'inReferencePlane' | 'regionPx'> & { readonly corners: readonly Px[] } => {
  const repeat = repeatOf(spec);
  const [n0, n1] = centralRun(spec.needles, repeat.needles);
  const [c0, c1] = centralRun(spec.courses, repeat.courses);
  const x0 = lattice.columns[n0]?.centreMm ?? 0;
  const x1 = lattice.columns[n1]?.centreMm ?? 0;
  const y0 = lattice.courseYMm[c0] ?? 0;
  const y1 = lattice.courseYMm[c1] ?? 0;
  const across = meanOver(y0, y1, (y) => pathLength(lattice, [x0, y], [x1, y]));
  const down = meanOver(x0, x1, (x) => pathLength(lattice, [x, y0], [x, y1]));
  const needlePositionsPerInch = ((n1 - n0) / across) * INCH;
  const rowsPerInch = ((c1 - c0) / down) * INCH;
  return {
    stitchesPerInch: (needlePositionsPerInch * repeat.shown) / repeat.needles,
    needlePositionsPerInch,
    rowsPerInch,
    visibleRowsPerInch: rowsPerInch / repeat.courses,
    corners: [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ],
  };
};

/** Gathers the truth of a scene whose yarn is seen at a mean height of `visibleHeightMm`. */
export const truthOf = (
  spec: FabricSpec,
  lattice: Lattice,
  camera: Camera,
  placement: Placement,
  heights: { readonly visibleMm: number; readonly topMm: number },
  reference: ReferenceTruth,
): SceneTruth => {
  const pxOf = (x: number, y: number): Px => {
    const place = lattice.place(x, y);
    const [tx, ty] = placeOnTable(placement, place.x, place.y);
    const [px, py] = camera.project(tx, ty, heights.visibleMm + place.z);
    return [px, py];
  };
  const { corners, ...gauge } = gaugeOfLattice(spec, lattice);
  const enlarged = (camera.position[2] - heights.visibleMm) / (camera.position[2] - reference.heightMm);
  const mid = (a: Px, b: Px): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
  const w = spec.walePitchMm / 2;
  const c = spec.coursePitchMm / 2;
  return {
    widthPx: camera.spec.widthPx,
    heightPx: camera.spec.heightPx,
    photoToTable: camera.homographyToPlane(0),
    photoToFabric: camera.homographyToPlane(heights.visibleMm),
    visibleHeightMm: heights.visibleMm,
    middleHeightMm: placement.heightMm,
    topHeightMm: heights.topMm,
    cameraHeightMm: camera.position[2],
    wales: lattice.columns.map((column, index) => ({
      index,
      kind: column.kind,
      visible: !lattice.rolled(column.centreMm),
      px: lattice.courseYMm.map((y) => pxOf(column.centreMm, y)),
    })),
    courses: lattice.courseYMm.map((y, index) => ({
      index,
      kind: 'course' as const,
      visible: true,
      px: lattice.columns
        .filter((column) => !lattice.rolled(column.centreMm))
        .map((column) => pxOf(column.centreMm, y)),
    })),
    gauge: {
      ...gauge,
      inReferencePlane: {
        stitchesPerInch: gauge.stitchesPerInch * enlarged,
        rowsPerInch: gauge.rowsPerInch * enlarged,
      },
      regionPx: corners.map(([x, y]) => pxOf(x, y)),
    },
    pitchPx: { wale: mid(pxOf(-w, 0), pxOf(w, 0)), course: mid(pxOf(0, -c), pxOf(0, c)) },
    reference,
    scalePoints: corners.map(([x, y]) => {
      const place = lattice.place(x, y);
      const mm = placeOnTable(placement, place.x, place.y);
      const [px, py] = camera.project(...mm, reference.heightMm);
      return { mm, px: [px, py] as const };
    }),
    focalLength35Mm:
      (camera.spec.focalPx * Math.hypot(36, 24)) / Math.hypot(camera.spec.widthPx, camera.spec.heightPx),
  };
};
