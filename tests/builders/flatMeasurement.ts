import { type PhotoPoint, photoPoint } from '../../src/domain/coordinates';
import type { GridLine, StitchGrid } from '../../src/domain/grid';
import type { Measurement, ScaleReference, StitchFinding } from '../../src/domain/measurement';
import type { PlaneMap } from '../../src/domain/plane';

/** Photo px per millimetre of every flat photo made here. */
export const PX_PER_MM = 12;

/** A plane seen from straight above at `PX_PER_MM`, far from the camera. */
export const flatPlane: PlaneMap = {
  photoToPlane: [1 / PX_PER_MM, 0, 0, 0, 1 / PX_PER_MM, 0, 0, 0, 1],
  residualPx: 0.2,
  relativeUncertainty: 0.0005,
  tiltRad: 0,
  cameraHeightMm: null,
  referenceHeightMm: 0,
};

const scaled = (plane: PlaneMap, by: number): PlaneMap => ({
  ...plane,
  photoToPlane: plane.photoToPlane.map((v, i) => (i < 6 ? v * by : v)) as unknown as PlaneMap['photoToPlane'],
});

/** A cutting mat whose heavy lines lie `stepMm` apart, with that question still open. */
export const openMat = (stepMm = 25.4): ScaleReference => ({
  kind: 'grid',
  score: 0.9,
  outline: [[photoPoint(0, 0), photoPoint(2000, 0)]],
  handles: [photoPoint(100, 100), photoPoint(1900, 100), photoPoint(1900, 1400), photoPoint(100, 1400)],
  pitchMm: null,
  question: 'gridPitch',
  plane: null,
  unitPlane: scaled(flatPlane, 1 / stepMm),
  sentence: 'A cutting mat was found.',
});

const line = (id: string, points: readonly PhotoPoint[]): GridLine => ({
  id,
  kind: 'stitch',
  origin: 'detected',
  points,
});

/** A square grid of `wales` × `courses` lines, spaced so that there are so many to the inch. */
export const squareGrid = (
  wales: number,
  courses: number,
  perInch: { readonly wales: number; readonly courses: number },
): StitchGrid => {
  const stepX = (25.4 / perInch.wales) * PX_PER_MM;
  const stepY = (25.4 / perInch.courses) * PX_PER_MM;
  const x = (i: number): number => 300 + i * stepX;
  const y = (j: number): number => 200 + j * stepY;
  const range = (n: number): number[] => [...Array(n).keys()];
  return {
    wales: range(wales).map((i) =>
      line(
        `w${i}`,
        range(courses).map((j) => photoPoint(x(i), y(j))),
      ),
    ),
    courses: range(courses).map((j) =>
      line(
        `c${j}`,
        range(wales).map((i) => photoPoint(x(i), y(j))),
      ),
    ),
  };
};

/** A whole measurement of a flat photo: an open mat and a square grid with a window round all but the outermost lines. */
export const flatMeasurement = (
  perInch = { wales: 8, courses: 11 },
  size = { wales: 30, courses: 40 },
): Measurement => {
  const grid = squareGrid(size.wales, size.courses, perInch);
  const stepX = (25.4 / perInch.wales) * PX_PER_MM;
  const stepY = (25.4 / perInch.courses) * PX_PER_MM;
  const [left, top] = [300 + 4.5 * stepX, 200 + 4.5 * stepY];
  const [right, bottom] = [300 + (size.wales - 5.5) * stepX, 200 + (size.courses - 5.5) * stepY];
  const corners = [
    photoPoint(left, top),
    photoPoint(right, top),
    photoPoint(right, bottom),
    photoPoint(left, bottom),
  ];
  const stitches: StitchFinding = {
    grid,
    window: { corners },
    pitchPx: { wale: stepX, course: stepY },
    face: 'knit',
    region: corners,
    scatter: { wale: 0.03, course: 0.03 },
    disagreements: [],
    confidence: { status: 'measured', chance: 0.995, reasons: [] },
  };
  return {
    photo: {
      widthPx: 2000,
      heightPx: 1600,
      mime: 'image/jpeg',
      takenAt: null,
      focalLength35Mm: null,
      remarks: [],
    },
    references: [openMat()],
    chosenReference: null,
    stitches,
    timingsMs: {},
  };
};
