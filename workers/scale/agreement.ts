import type { ScaleReference } from '../../src/domain/measurement';
import { localScale } from '../../src/domain/planeFitAlgebra';

/** Spacings that mats are printed with, mm (common practice): whole, half and quarter inches, centimetres and their parts. */
const usualSpacingsMm = [1, 2, 2.5, 3.175, 5, 6.35, 10, 12.7, 20, 25.4, 50, 50.8, 100];
/** How far a spacing may be off a usual one, as a share: a card's uncertainty across the photo and its height. */
const spacingSlack = 0.025;
/** A grid this sure may speak against other things. */
const sureGrid = 0.6;
/** What is left of the score of a thing that makes nonsense of the grid beside it. */
const doubtShare = 0.3;

/** Middle of a reference's outline, photo px. */
const middleOf = (reference: ScaleReference): { x: number; y: number } => {
  const points = reference.outline.flat();
  const n = Math.max(1, points.length);
  return { x: points.reduce((s, p) => s + p.x, 0) / n, y: points.reduce((s, p) => s + p.y, 0) / n };
};

/** The grid's spacing in mm according to another reference, where that one lies. */
const spacingBy = (other: ScaleReference, grid: ScaleReference): number | null => {
  if (other.plane === null || grid.unitPlane === null) return null;
  const { x, y } = middleOf(other);
  return localScale(other.plane.photoToPlane, x, y) / localScale(grid.unitPlane.photoToPlane, x, y);
};

const isUsual = (spacingMm: number, saidMm: number | null, slack: number): boolean =>
  (saidMm === null ? usualSpacingsMm : [saidMm]).some((usual) => Math.abs(spacingMm / usual - 1) < slack);

/** Kinds of thing that something else of the same outline can be taken for: a pocket, a button, a window's reflection, a fringe. */
const mistakable: ReadonlySet<ScaleReference['kind']> = new Set(['card', 'coin', 'paper', 'ruler']);

/**
 * Lowers the score of a thing that would give the mat it lies on a spacing that no mat has (or another one than the user said): something else was taken
 * for it. Only things whose own size is settled are judged.
 */
export const weighedAgainstGrid = (references: readonly ScaleReference[]): ScaleReference[] => {
  const grid = references.find((r) => r.kind === 'grid' && r.score > sureGrid);
  if (grid === undefined) return [...references];
  return references.map((r) => {
    const spacing = mistakable.has(r.kind) ? spacingBy(r, grid) : null;
    const slack = Math.max(spacingSlack, 2 * (r.plane?.relativeUncertainty ?? 0));
    return spacing === null || isUsual(spacing, grid.pitchMm, slack)
      ? r
      : { ...r, score: r.score * doubtShare };
  });
};
