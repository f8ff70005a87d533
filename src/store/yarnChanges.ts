import {
  expectedDensity,
  type FabricChange,
  fabricChanges,
  type PieceMeasurement,
} from '../domain/pieceChange';
import type { GaugeSummary, Id, RestState } from '../domain/records';
import type { NotebookRow } from './notebookRows';

/** A change of a yarn's fabric, and what it makes of the swatch that was measured last in the earlier state. */
export interface YarnChange extends FabricChange {
  readonly example: {
    readonly before: Pick<GaugeSummary, 'walesPerMm' | 'coursesPerMm'>;
    readonly after: Pick<GaugeSummary, 'walesPerMm' | 'coursesPerMm'>;
  } | null;
}

/** Second versions of one measurement say nothing new about the fabric. */
const isEvidence = ({ card }: NotebookRow): boolean =>
  card.state === 'saved' && card.deletedAt === null && card.copiedFrom === null;

const toMeasurement = ({ card }: NotebookRow): PieceMeasurement[] =>
  card.gauge && card.restState
    ? [{ pieceId: card.pieceId, restState: card.restState, gauge: card.gauge, at: card.createdAt }]
    : [];

/** How the fabric of one yarn relaxes and shrinks, from the swatches of that yarn. */
export const yarnChanges = (rows: readonly NotebookRow[]): YarnChange[] => {
  const measurements = rows
    .filter(isEvidence)
    .flatMap(toMeasurement)
    .sort((a, b) => a.at.localeCompare(b.at));
  return fabricChanges(measurements).map((change) => {
    const before = measurements.findLast(({ restState }) => restState === change.from)?.gauge;
    return {
      ...change,
      example: before
        ? {
            before,
            after: {
              walesPerMm: expectedDensity(before.walesPerMm, change.width),
              coursesPerMm: expectedDensity(before.coursesPerMm, change.length),
            },
          }
        : null,
    };
  });
};

/** All measurements of one piece of fabric that are kept, oldest first. */
export const measurementsOfPiece = (rows: readonly NotebookRow[], pieceId: Id): NotebookRow[] =>
  rows
    .filter(({ card }) => card.pieceId === pieceId && card.deletedAt === null)
    .sort((a, b) => a.card.createdAt.localeCompare(b.card.createdAt));

/** The gauge to expect of a swatch once its fabric is in a later state. */
export interface ExpectedGauge {
  readonly restState: RestState;
  readonly gauge: Pick<GaugeSummary, 'walesPerMm' | 'coursesPerMm'>;
  /** How many other pieces of the yarn that rests on. */
  readonly pieces: number;
}

/**
 * What the yarn's other pieces say of a swatch's gauge in the states that its own piece was not measured in yet; nothing when it has no
 * gauge, no state or no yarn.
 */
export const expectedLater = (row: NotebookRow, rows: readonly NotebookRow[]): ExpectedGauge[] => {
  const { gauge, restState, yarnId, pieceId } = row.card;
  if (!gauge || !restState || yarnId === null) return [];
  const known = new Set(measurementsOfPiece(rows, pieceId).map(({ card }) => card.restState));
  const others = rows.filter(({ card }) => card.yarnId === yarnId && card.pieceId !== pieceId);
  return yarnChanges(others)
    .filter(({ from, to }) => from === restState && !known.has(to))
    .map(({ to, width, length, pieces }) => ({
      restState: to,
      gauge: {
        walesPerMm: expectedDensity(gauge.walesPerMm, width),
        coursesPerMm: expectedDensity(gauge.coursesPerMm, length),
      },
      pieces,
    }));
};
