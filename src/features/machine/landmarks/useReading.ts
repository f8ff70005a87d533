import { type RefObject, useRef, useState } from 'react';
import type { TypedRepeat } from '../../../domain/caliperSlip';
import type { CaliperReading, Id } from '../../../domain/records';
import type { ReadingHandle } from '../../../ui/fields/ReadingPart';

type Unit = CaliperReading['unit'];

/** A reading that is being taken, and how to take it out of its form. */
export interface ReadingInHand {
  readonly part: {
    readonly ref: RefObject<ReadingHandle | null>;
    readonly repeats: readonly TypedRepeat[];
    readonly unit: Unit;
    readonly onChange: (repeats: readonly TypedRepeat[], unit: Unit) => void;
  };
  /** What is in the form, the number that stands in its field included; null when that one needs a look, or there is none. */
  readonly settle: (landmarkId: Id) => CaliperReading | null;
  readonly clear: () => void;
}

/** Holds the repeats of one reading while they are typed. */
export const useReading = (usualUnit: Unit): ReadingInHand => {
  const ref = useRef<ReadingHandle>(null);
  const [repeats, setRepeats] = useState<readonly TypedRepeat[]>([]);
  const [unit, setUnit] = useState(usualUnit);
  return {
    part: {
      ref,
      repeats,
      unit,
      onChange: (next, inUnit) => {
        setRepeats(next);
        setUnit(inUnit);
      },
    },
    settle: (landmarkId) => {
      const settled = ref.current?.settle() ?? null;
      return settled && settled.repeats.length > 0
        ? { landmarkId, unit: settled.unit, repeats: settled.repeats }
        : null;
    },
    clear: () => setRepeats([]),
  };
};
