import type { GaugeSummary, Id, Moment, RestState, Swatch } from '../domain/records';

/** What a list shows of a swatch; small, so that thousands can be read at once. */
export interface SwatchCard {
  readonly id: Id;
  readonly state: Swatch['state'];
  readonly photoId: Id | null;
  readonly gauge: GaugeSummary | null;
  readonly yarnId: Id | null;
  readonly machineId: Id | null;
  readonly cylinderNeedles: number | null;
  readonly landmarkId: Id | null;
  /** The caliper reading's repeats in mm; empty when there is none. */
  readonly readingsMm: readonly number[];
  readonly readingUnit: 'mm' | 'in' | null;
  readonly restState: RestState | null;
  readonly notes: string;
  /** The swatch that this one was split off from when two windows changed it at once; null for any other. */
  readonly copiedFrom: Id | null;
  /** The piece of fabric that was measured: the id of its first measurement, often its own. */
  readonly pieceId: Id;
  readonly createdAt: Moment;
  readonly updatedAt: Moment;
  readonly deletedAt: Moment | null;
}

/** The list's view of a swatch. */
export const toCard = (swatch: Omit<Swatch, 'measurement'>): SwatchCard => ({
  id: swatch.id,
  state: swatch.state,
  photoId: swatch.photoId,
  gauge: swatch.gauge,
  yarnId: swatch.yarnId,
  machineId: swatch.machineId,
  cylinderNeedles: swatch.cylinderNeedles,
  landmarkId: swatch.reading?.landmarkId ?? null,
  readingsMm: swatch.reading?.repeats.map((repeat) => repeat.mm) ?? [],
  readingUnit: swatch.reading?.unit ?? null,
  restState: swatch.restState,
  notes: swatch.notes,
  copiedFrom: swatch.copiedFrom ?? null,
  pieceId: swatch.pieceId ?? swatch.id,
  createdAt: swatch.createdAt,
  updatedAt: swatch.updatedAt,
  deletedAt: swatch.deletedAt,
});
