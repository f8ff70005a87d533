import { type PhotoPoint, photoPoint } from './coordinates';
import { clipLine, cornerCentre } from './countWindow';
import type { CountWindow, GridLine, StitchGrid } from './grid';
import { type Homography, invertHomography, type PlaneMap, toPlane } from './plane';
import { localScale, multiply3 } from './planeFitAlgebra';

/** A box with its top-left corner and size; the unit is that of the space it lies in. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What is needed of a photo to lay it flat. */
export interface PhotoToFlatten {
  readonly grid: StitchGrid;
  readonly window: CountWindow;
  /** Outline of the fabric, photo px; empty when it is not known. */
  readonly region: readonly PhotoPoint[];
  readonly plane: Pick<PlaneMap, 'photoToPlane'>;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A photo laid flat with its columns upright: millimetres on the reference's plane, the middle of the counted window at (0, 0). */
export interface FlatMap {
  readonly photoToFlat: Homography;
  /** The part worth showing: the fabric and what lies around it, mm. */
  readonly box: Box;
  /** Photo px per mm in the middle of the window. */
  readonly pxPerMm: number;
}

/** Units of the common sheet per millimetre. */
export const SHEET_PER_MM = 10;
/** What is shown beyond the fabric on each side, as a share of its size and at least so many mm: enough of a mat to see its lines. */
const MARGIN_SHARE = 0.35;
const MARGIN_LEAST_MM = 30;

/** Where a homography takes a point. */
export const mapped = (h: Homography, p: { readonly x: number; readonly y: number }): PhotoPoint => {
  const w = h[6] * p.x + h[7] * p.y + h[8];
  return photoPoint((h[0] * p.x + h[1] * p.y + h[2]) / w, (h[3] * p.x + h[4] * p.y + h[5]) / w);
};

/** Mean direction of the lines inside the window on the plane; longer pieces count more. */
const meanDirection = (
  lines: readonly GridLine[],
  window: CountWindow,
  plane: PhotoToFlatten['plane'],
): { readonly x: number; readonly y: number } => {
  let x = 0;
  let y = 0;
  for (const { points } of lines) {
    for (const part of clipLine(points, window)) {
      const [first, last] = [part[0], part.at(-1)];
      if (!first || !last) continue;
      const a = toPlane(plane, first);
      const b = toPlane(plane, last);
      x += b.x - a.x;
      y += b.y - a.y;
    }
  }
  return { x, y };
};

/** The box around points. */
const boxAround = (points: readonly { readonly x: number; readonly y: number }[]): Box => {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
};

const grown = (box: Box): Box => {
  const dx = Math.max(MARGIN_LEAST_MM, MARGIN_SHARE * box.width);
  const dy = Math.max(MARGIN_LEAST_MM, MARGIN_SHARE * box.height);
  return { x: box.x - dx, y: box.y - dy, width: box.width + 2 * dx, height: box.height + 2 * dy };
};

const overlap = (a: Box, b: Box): Box => {
  const x = Math.max(a.x, b.x);
  const y = Math.max(a.y, b.y);
  return {
    x,
    y,
    width: Math.max(1, Math.min(a.x + a.width, b.x + b.width) - x),
    height: Math.max(1, Math.min(a.y + a.height, b.y + b.height) - y),
  };
};

/**
 * Lays a photo flat: the plane map, turned so that columns run straight down (and mirrored if the map is), about the
 * middle of the window. What lies more than a margin beyond the fabric, or outside the photo, is left out.
 * @returns null when the window holds no columns or the plane map has no inverse.
 */
export const layFlat = (photo: PhotoToFlatten): FlatMap | null => {
  const { grid, window, plane, widthPx, heightPx } = photo;
  const { corners: counted } = window;
  const down = meanDirection(grid.wales, window, plane);
  const across = meanDirection(grid.courses, window, plane);
  const length = Math.hypot(down.x, down.y);
  if (!(length > 0)) return null;
  const v = { x: down.x / length, y: down.y / length };
  // Square to the columns, on the side that the rows run to.
  const side = v.y * across.x - v.x * across.y < 0 ? -1 : 1;
  const u = { x: side * v.y, y: -side * v.x };
  const centre = cornerCentre(counted.map((corner) => toPlane(plane, corner)));
  const middle = mapped(invertHomography(plane.photoToPlane), centre);
  const turn: Homography = [
    u.x,
    u.y,
    -(u.x * centre.x + u.y * centre.y),
    v.x,
    v.y,
    -(v.x * centre.x + v.y * centre.y),
    0,
    0,
    1,
  ];
  const photoToFlat = multiply3(turn, plane.photoToPlane);
  const fabric = photo.region.length > 2 ? photo.region : counted;
  const around = grown(boxAround(fabric.map((p) => mapped(photoToFlat, p))));
  const corners = [
    photoPoint(0, 0),
    photoPoint(widthPx, 0),
    photoPoint(widthPx, heightPx),
    photoPoint(0, heightPx),
  ];
  // Seen from far aside, a corner of the photo may lie beyond the horizon: then it sets no limit.
  const h = photoToFlat;
  const sides = corners.map((p) => Math.sign(h[6] * p.x + h[7] * p.y + h[8]));
  const bounded = sides.every((s) => s === sides[0]);
  return {
    photoToFlat,
    box: bounded ? overlap(around, boxAround(corners.map((p) => mapped(h, p)))) : around,
    pxPerMm: 1 / localScale(photoToFlat, middle.x, middle.y),
  };
};

/** A flat picture at its place on the common sheet. Sheet points are in units of 1/10 mm from the sheet's top-left corner. */
export interface SheetPicture {
  readonly photoToSheet: Homography;
  readonly sheetToPhoto: Homography;
  readonly box: Box;
  /** Photo px per unit of the sheet in the middle of the window. */
  readonly pxPerUnit: number;
}

/** Pictures side by side in one coordinate system: the middles of their windows lie on each other. */
export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** Where the middles of the windows lie. */
  readonly middle: PhotoPoint;
  readonly pictures: readonly SheetPicture[];
}

/**
 * Puts flat pictures on one sheet at the same physical scale. `factors`: by how much each picture is enlarged at the level
 * that shall be true to size, 1 for the reference's own plane.
 * @throws RangeError when a map has no inverse.
 */
export const sheetOf = (maps: readonly FlatMap[], factors: readonly number[]): Sheet => {
  const boxes = maps.map(({ box }, i) => {
    const k = SHEET_PER_MM / (factors[i] ?? 1);
    return { x: box.x * k, y: box.y * k, width: box.width * k, height: box.height * k };
  });
  const left = Math.min(0, ...boxes.map((b) => b.x));
  const top = Math.min(0, ...boxes.map((b) => b.y));
  const right = Math.max(1, ...boxes.map((b) => b.x + b.width));
  const bottom = Math.max(1, ...boxes.map((b) => b.y + b.height));
  const pictures = maps.map((map, i) => {
    const k = SHEET_PER_MM / (factors[i] ?? 1);
    const photoToSheet = multiply3([k, 0, -left, 0, k, -top, 0, 0, 1], map.photoToFlat);
    const box = boxes[i] ?? { x: 0, y: 0, width: 1, height: 1 };
    return {
      photoToSheet,
      sheetToPhoto: invertHomography(photoToSheet),
      box: { ...box, x: box.x - left, y: box.y - top },
      pxPerUnit: map.pxPerMm / k,
    };
  });
  return { width: right - left, height: bottom - top, middle: photoPoint(-left, -top), pictures };
};

const mappedLine = (h: Homography, line: GridLine): GridLine => ({
  ...line,
  points: line.points.map((p) => mapped(h, p)),
});

/** A grid as it lies on the sheet. The sheet's picture counts as a photo of its own. */
export const gridOnSheet = (grid: StitchGrid, { photoToSheet }: SheetPicture): StitchGrid => ({
  wales: grid.wales.map((line) => mappedLine(photoToSheet, line)),
  courses: grid.courses.map((line) => mappedLine(photoToSheet, line)),
});

/** A window as it lies on the sheet. */
export const windowOnSheet = ({ corners }: CountWindow, { photoToSheet }: SheetPicture): CountWindow => ({
  corners: corners.map((p) => mapped(photoToSheet, p)),
});
