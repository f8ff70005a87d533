import type { Measurement } from '../../src/domain/measurement';
import type { Swatch } from '../../src/domain/records';
import { withStep } from '../../src/domain/referenceStep';
import { blankSwatch } from '../../src/storage/blank';
import { createDeriver } from '../../src/store/measureSessionGrid';

/** A saved swatch with this measurement, its first reference a mat whose heavy lines the user said to lie an inch apart. */
export const measuredSwatch = (
  measurement: Measurement,
  part: Partial<Swatch> & Pick<Swatch, 'id' | 'photoId' | 'yarnId'>,
): Swatch =>
  createDeriver().summarised({
    ...blankSwatch(),
    state: 'saved',
    photoFacts: measurement.photo,
    measurement,
    scale: {
      reference: withStep(measurement.references[0]!, 25.4),
      confirmedBy: 'user',
      namedReferenceId: null,
    },
    ...part,
  });
