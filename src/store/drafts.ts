import type { RestState, Swatch } from '../domain/records';
import { blankSwatch } from '../storage/blank';

/**
 * A new draft for measuring the same piece of fabric again in another rest state. What does not change by resting, washing or wearing is
 * carried over; the photo and all that comes from it are not.
 */
export const draftOfSamePiece = (earlier: Swatch, restState: RestState): Swatch => ({
  ...blankSwatch(),
  pieceId: earlier.pieceId ?? earlier.id,
  yarnId: earlier.yarnId,
  machineId: earlier.machineId,
  cylinderNeedles: earlier.cylinderNeedles,
  reading: earlier.reading,
  layers: earlier.layers,
  restState,
});
