import type { GridEdit } from '../domain/edits';
import type { Measurement, ScaleReference, StitchFinding } from '../domain/measurement';
import type { ConfirmedScale, Id, NamedReference, Swatch } from '../domain/records';

/** The photo that lies on the stage. */
export interface SessionPhoto {
  readonly id: Id;
  readonly fileName: string;
  readonly mime: string;
  readonly bytes: ArrayBuffer;
  /** Address of the same bytes for an image element; lives as long as the photo is open. */
  readonly url: string;
}

/** Something that takes time and can be cancelled. */
export interface Working {
  /** What is going on, in words. */
  readonly sentence: string;
  /** Share that is done, 0 to 1. */
  readonly share: number;
  readonly cancel: () => void;
}

/** Everything the Measure screen shows. Whatever must survive a reload lies in `swatch`. */
export interface SessionState {
  readonly phase: 'starting' | 'empty' | 'open';
  readonly swatch: Swatch | null;
  readonly photo: SessionPhoto | null;
  /** A draft that has everything but its photo: the same piece of fabric, to be measured again. */
  readonly awaiting: Swatch | null;
  readonly working: Working | null;
  /** One sentence about what went wrong and what to do; null when all is well. */
  readonly problem: string | null;
  /** The finding before the last look, so that looking again can be taken back. */
  readonly earlierFinding: StitchFinding | null;
  readonly remembered: readonly NamedReference[];
  /** Whether a draft lies in the notebook that could be carried on with. */
  readonly hasDraft: boolean;
  /** Whether the newest version is on the device's storage. */
  readonly kept: 'stored' | 'storing' | 'failed';
}

export const emptySession: SessionState = {
  phase: 'starting',
  swatch: null,
  photo: null,
  awaiting: null,
  working: null,
  problem: null,
  earlierFinding: null,
  remembered: [],
  hasDraft: false,
  kept: 'stored',
};

/** Adds a correction; what had been taken back before can then no longer be brought back. */
export const withEdit = (swatch: Swatch, edit: GridEdit): Swatch => ({
  ...swatch,
  edits: [...swatch.edits, edit],
  undone: [],
});

/** Takes the last correction back. */
export const withUndo = (swatch: Swatch): Swatch => {
  const last = swatch.edits.at(-1);
  return last === undefined
    ? swatch
    : { ...swatch, edits: swatch.edits.slice(0, -1), undone: [last, ...swatch.undone] };
};

/** Brings back the correction that was taken back last. */
export const withRedo = (swatch: Swatch): Swatch => {
  const [first, ...rest] = swatch.undone;
  return first === undefined ? swatch : { ...swatch, edits: [...swatch.edits, first], undone: rest };
};

const withMeasurement = (swatch: Swatch, change: (measurement: Measurement) => Measurement): Swatch =>
  swatch.measurement === null ? swatch : { ...swatch, measurement: change(swatch.measurement) };

/** Puts a finding of stitches in place of the one before; the corrections stay and are replayed on it. */
export const withFinding = (swatch: Swatch, stitches: StitchFinding): Swatch => ({
  ...withMeasurement(swatch, (measurement) => ({ ...measurement, stitches })),
  // New lines have not been looked over yet, whatever was said of the old ones.
  gauge: null,
});

/** Chooses one of the references that were found; a scale confirmed from another one no longer holds. */
export const withChosen = (swatch: Swatch, index: number): Swatch =>
  swatch.measurement?.chosenReference === index
    ? swatch
    : { ...withMeasurement(swatch, (m) => ({ ...m, chosenReference: index })), scale: null };

/** Puts a corrected or new reference at its place in the list (at the end when `index` is its length) and chooses it. */
export const withReference = (swatch: Swatch, index: number, reference: ScaleReference): Swatch => ({
  ...withMeasurement(swatch, (m) => ({
    ...m,
    references: [...m.references.slice(0, index), reference, ...m.references.slice(index + 1)],
    chosenReference: index,
  })),
  scale: null,
});

/** Puts the confirmed scale, or none, into force. */
export const withScale = (swatch: Swatch, scale: ConfirmedScale | null): Swatch => ({ ...swatch, scale });

/** The reference that is looked at now: the chosen one, otherwise the best. */
export const currentReference = (swatch: Swatch): { reference: ScaleReference; index: number } | null => {
  const index = swatch.measurement?.chosenReference ?? 0;
  const reference = swatch.measurement?.references[index];
  return reference ? { reference, index } : null;
};
