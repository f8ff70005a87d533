import type { CameraFacts } from '../../src/domain/camera';
import { fitCameraToLines } from '../../src/domain/cameraFit';
import type { Homography } from '../../src/domain/plane';
import { invertHomography } from '../../src/domain/plane';
import { fitPlaneToLines } from '../../src/domain/planeFit';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import type { LineSighting, PlaneFit } from '../../src/domain/planeFitCovariance';
import { straightLens } from '../../src/domain/planeFitLens';
import { homographyFromPoints } from '../../src/domain/planeFitPoints';
import {
  cellMm,
  isWhite,
  markerCells,
  markerSideMm,
  type SheetMarker,
  sheetMarkers,
} from '../../src/domain/sheetMarkers';
import type { GreyImage } from '../image';
import { fitBowIfSeen } from './bowIfSeen';
import { flattened } from './gridFit';
import { sampleAt } from './pictures';
import type { Corner } from './quads';
import type { SeenMark } from './sheetMarks';
import { measureSide, sideSightings } from './sides';

/** A printed sheet fitted to the edges of its marks: work px → mm of its frame. */
export interface FittedSheet {
  readonly fit: PlaneFit;
  /** Worst relative error that is left where a bowed picture had to be flattened. */
  readonly leftover: number;
  /** The marks whose edges were seen. */
  readonly marks: readonly SheetMarker[];
}

const markCorners = ({ xMm, yMm }: SheetMarker): Corner[] => [
  { x: xMm, y: yMm },
  { x: xMm + markerSideMm, y: yMm },
  { x: xMm + markerSideMm, y: yMm + markerSideMm },
  { x: xMm, y: yMm + markerSideMm },
];

interface Pair {
  readonly mark: SheetMarker;
  readonly corners: readonly Corner[];
}

const pairsOf = (seen: readonly SeenMark[]): Pair[] =>
  seen.flatMap(({ id, corners }) => {
    const mark = sheetMarkers.find((m) => m.id === id);
    return mark === undefined ? [] : [{ mark, corners }];
  });

/** How far off the place that one mark foretells for another may be, as a share of their distance: paper bends, and one small mark says little. */
const agreementShare = 0.2;

/** The largest set of marks that lie to each other as they do on the sheet; a number read by chance somewhere else is left out. */
const agreeing = (pairs: readonly Pair[]): Pair[] => {
  let best: Pair[] = [];
  for (const from of pairs) {
    const h = homographyFromPoints(from.corners, markCorners(from.mark));
    if (h === null) continue;
    const set = pairs.filter(({ mark, corners }) => {
      const middle = { x: 0, y: 0 };
      for (const c of corners) {
        middle.x += c.x / 4;
        middle.y += c.y / 4;
      }
      const [x, y] = mapPoint(h, middle.x, middle.y);
      const off = Math.hypot(x - mark.xMm - markerSideMm / 2, y - mark.yMm - markerSideMm / 2);
      const apart = Math.hypot(mark.xMm - from.mark.xMm, mark.yMm - from.mark.yMm);
      return off < 2 + agreementShare * apart;
    });
    if (set.length > best.length) best = set;
  }
  return best;
};

const sideCount = 4;
/** Share of a mark's sides that must show their edge for the mark to count, and of a side's places for the side to count. */
const leastSeen = 0.6;
/** Half a cell is as far as an edge is looked for, so that the cells inside are not taken for it. */
const searchCells = 0.5;
/** An edge's place as a whole is uncertain by this much, px: blur and uneven light (assumed). */
const edgePx = 0.3;

/** The four edges of one mark as sightings of lines of the frame; empty when too few of them are seen. */
const sightingsOf = (
  image: GreyImage,
  mark: SheetMarker,
  toPhoto: Homography,
  searchPx: number,
): LineSighting[] => {
  const corners = markCorners(mark).map(({ x, y }) => {
    const [px, py] = mapPoint(toPhoto, x, y);
    return { x: px, y: py };
  });
  const inside = {
    x: corners.reduce((s, c) => s + c.x / 4, 0),
    y: corners.reduce((s, c) => s + c.y / 4, 0),
  };
  const found: LineSighting[] = [];
  let seen = 0;
  for (let n = 0; n < sideCount; n++) {
    const [a, b] = [corners[n], corners[(n + 1) % sideCount]];
    if (a === undefined || b === undefined) continue;
    const cellPx = Math.hypot(b.x - a.x, b.y - a.y) / markerCells;
    const reach = Math.min(searchPx, searchCells * cellPx);
    const side = measureSide([image], a, b, inside, { searchPx: reach, leaveOut: 0.08, footPx: 0 });
    // A mark is darker inside than outside.
    if (side === null || side.seenShare < leastSeen || side.step > 0) continue;
    seen += 1;
    const along = n === 1 ? mark.xMm + markerSideMm : n === 3 ? mark.xMm : null;
    const across = n === 0 ? mark.yMm : mark.yMm + markerSideMm;
    found.push(...sideSightings(side, along === null ? 1 : 0, along ?? across, sideCount * mark.id + n));
  }
  return seen < leastSeen * sideCount ? [] : found;
};

/** From this many marks on the sheet alone settles the plane; with fewer the focal length that phones have helps. */
const enoughMarks = 4;

const fitted = (
  sightings: readonly LineSighting[],
  marks: number,
  start: Homography,
  camera: CameraFacts,
): { fit: PlaneFit; leftover: number } | null => {
  if (marks >= enoughMarks) {
    const bowed = fitBowIfSeen(sightings, start, straightLens(camera.widthPx, camera.heightPx));
    return bowed === null ? null : flattened(bowed);
  }
  const free = fitPlaneToLines(sightings, start);
  const fit = free === null ? null : fitCameraToLines(sightings, free.photoToPlane, camera, edgePx);
  return fit === null ? null : { fit, leftover: 0 };
};

/**
 * Fits the sheet to the edges of those marks of it that are seen, from a rough map work px → mm of the frame.
 * @returns null when fewer than two marks show their edges.
 */
export const fitSheet = (
  image: GreyImage,
  rough: Homography,
  candidates: readonly SheetMarker[],
  camera: CameraFacts,
  searchPx: number,
): FittedSheet | null => {
  let h = rough;
  let result: FittedSheet | null = null;
  for (const reach of [searchPx, 2.5]) {
    const toPhoto = invertHomography(h);
    const bySide = candidates.map((mark) => ({ mark, sightings: sightingsOf(image, mark, toPhoto, reach) }));
    const marks = bySide.filter(({ sightings }) => sightings.length > 0).map(({ mark }) => mark);
    if (marks.length < 2) return null;
    const sightings = bySide.flatMap((m) => m.sightings);
    const next = fitted(sightings, marks.length, h, camera);
    if (next === null) return null;
    h = next.fit.photoToPlane;
    result = { ...next, marks };
  }
  return result;
};

/** Share of a mark's cells that must be black or white as its number says. */
const leastRight = 0.9;

/** Whether the cells of a mark, border and inside, are as its number says. */
export const readsRight = (image: GreyImage, mark: SheetMarker, photoToFrame: Homography): boolean => {
  const toPhoto = invertHomography(photoToFrame);
  const cells = Array.from({ length: markerCells ** 2 }, (_, k) => {
    const [column, row] = [k % markerCells, Math.floor(k / markerCells)];
    const at = mapPoint(toPhoto, mark.xMm + (column + 0.5) * cellMm, mark.yMm + (row + 0.5) * cellMm);
    return { white: isWhite(mark.id, column - 1, row - 1), value: sampleAt(image, ...at) };
  });
  const meanOf = (white: boolean): number => {
    const values = cells.filter((c) => c.white === white).map((c) => c.value);
    return values.reduce((s, v) => s + v, 0) / values.length;
  };
  const middle = (meanOf(true) + meanOf(false)) / 2;
  const right = cells.filter((c) => c.white === c.value > middle).length;
  return meanOf(true) > meanOf(false) && right >= leastRight * cells.length;
};

/** The rough map and the marks of a sheet among the marks that were read, work px; null when they are not two of one sheet. */
export const roughSheet = (
  seen: readonly SeenMark[],
): { rough: Homography; marks: readonly SheetMarker[] } | null => {
  const pairs = agreeing(pairsOf(seen));
  if (pairs.length < 2) return null;
  const rough = homographyFromPoints(
    pairs.flatMap(({ corners }) => corners),
    pairs.flatMap(({ mark }) => markCorners(mark)),
  );
  return rough && { rough, marks: pairs.map(({ mark }) => mark) };
};

/** The corners of one mark in work px. */
export const markInWorkPx = (mark: SheetMarker, toPhoto: Homography): Corner[] =>
  markCorners(mark).map(({ x, y }) => {
    const [px, py] = mapPoint(toPhoto, x, y);
    return { x: px, y: py };
  });
