import type { ScaleReference } from '../../src/domain/measurement';
import { paperSizes } from '../../src/domain/paper';
import { localScale } from '../../src/domain/planeFitAlgebra';
import { usualTicksMm } from '../../src/domain/rulerScale';

/** Spacings that mats are printed with, mm (common practice): whole, half and quarter inches, centimetres and their parts. */
const usualSpacingsMm = [1, 2, 2.5, 3.175, 5, 6.35, 10, 12.7, 20, 25.4, 50, 50.8, 100];
/** Those between heavy lines. */
const heavySpacingsMm = [5, 10, 12.7, 20, 25.4, 50, 50.8];
/** How far a spacing may be off a usual one, as a share: a card's uncertainty across the photo and its height. */
const spacingSlack = 0.025;
/** A grid this sure may speak against other things. */
const sureGrid = 0.6;
/** The score of a grid is halved where its heavy and fine lines may be mistaken for one another: the lines themselves are as sure as ever. */
const unclearShare = 0.5;
/** What is left of the score of a thing that makes nonsense of the grid beside it. */
const doubtShare = 0.3;
/** A thing this sure is kept as it is where it only says another spacing than the user did: one of the two is mistaken, and she is told. */
const sureThing = 0.7;
/** Beside a sure grid a thing that stands for less is not offered: it would be one more thing to choose and no check on anything. */
const leastOffered = 0.25;

/** Middle of a reference's outline, photo px. */
const middleOf = (reference: ScaleReference): { x: number; y: number } => {
  const points = reference.outline.flat();
  const n = Math.max(1, points.length);
  return { x: points.reduce((s, p) => s + p.x, 0) / n, y: points.reduce((s, p) => s + p.y, 0) / n };
};

/** Steps, mm, that a thing may have whose size is still asked for; null when it may have any. */
const possibleStepsMm = ({ kind, longMarkEvery }: ScaleReference): readonly number[] | null => {
  if (kind === 'ruler') return usualTicksMm(longMarkEvery ?? null);
  return kind === 'paper' ? paperSizes.map(({ longMm }) => longMm) : null;
};

/** The grid's spacing in mm according to another thing, where that one lies: several while it is open how large the thing is; null when it says nothing. */
const spacingsBy = (other: ScaleReference, grid: ScaleReference): readonly number[] | null => {
  if (grid.unitPlane === null) return null;
  const { x, y } = middleOf(other);
  const gridStep = localScale(grid.unitPlane.photoToPlane, x, y);
  if (other.plane !== null) return [localScale(other.plane.photoToPlane, x, y) / gridStep];
  if (other.unitPlane === null) return null;
  const share = localScale(other.unitPlane.photoToPlane, x, y) / gridStep;
  return possibleStepsMm(other)?.map((step) => share * step) ?? null;
};

/** Kinds of thing that something else of the same outline can be taken for: a pocket, a button, a window's reflection, a fringe. */
const mistakable: ReadonlySet<ScaleReference['kind']> = new Set(['card', 'coin', 'paper', 'ruler']);

/** Whether a thing makes sense beside the grid: the spacing that it gives it is the one that the user said, or one that mats have. */
const makesSense = (other: ScaleReference, grid: ScaleReference): boolean => {
  const spacings = mistakable.has(other.kind) ? spacingsBy(other, grid) : null;
  if (spacings === null) return true;
  const plane = other.plane ?? other.unitPlane;
  const slack = Math.max(spacingSlack, 2 * (plane?.relativeUncertainty ?? 0));
  const isAmong = (usual: readonly number[]): boolean =>
    spacings.some((spacing) => usual.some((mm) => Math.abs(spacing / mm - 1) < slack));
  if (grid.pitchMm !== null)
    return isAmong([grid.pitchMm]) || (other.score >= sureThing && isAmong(usualSpacingsMm));
  return isAmong(grid.gridLines === 'heavy' && other.plane === null ? heavySpacingsMm : usualSpacingsMm);
};

const isSure = ({ kind, score, gridLines }: ScaleReference): boolean =>
  kind === 'grid' && score > (gridLines === 'unclear' ? unclearShare : 1) * sureGrid;

/**
 * Lowers the score of a thing that would give the mat it lies on a spacing that no mat has: something else was taken for it. What then
 * stands for hardly anything is left out; a thing that is sure stays, so that it can be warned of where the two disagree.
 */
export const weighedAgainstGrid = (references: readonly ScaleReference[]): ScaleReference[] => {
  const grid = references.find(isSure);
  if (grid === undefined) return [...references];
  return references
    .map((r) => (makesSense(r, grid) ? r : { ...r, score: r.score * doubtShare }))
    .filter((r) => r.kind === 'grid' || r.score >= leastOffered);
};
