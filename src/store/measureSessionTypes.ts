import type { StoreApi } from 'zustand/vanilla';
import type { PhotoPoint } from '../domain/coordinates';
import type { GridEdit } from '../domain/edits';
import type { GaugeResult, NoGauge } from '../domain/gaugeOf';
import type { ScaleReference } from '../domain/measurement';
import type { PaperName } from '../domain/paper';
import type { ConfirmedScale, Id, NamedReference, Photo, Swatch } from '../domain/records';
import type { Storage } from '../storage/repository';
import type { DerivedGrid } from './measureSessionGrid';
import type { SessionState } from './measureSessionState';
import type { VisionClient } from './visionClient';

/** What a session needs from outside. */
export interface SessionPorts {
  readonly vision: VisionClient;
  readonly storage: Pick<
    Storage,
    'openDraft' | 'openSwatch' | 'saveDraft' | 'saveSwatch' | 'savePhoto' | 'getPhoto' | 'namedReferences'
  >;
  readonly thumbnailOf: (bytes: ArrayBuffer, mime: string) => Promise<Photo['thumbnail']>;
  readonly addressOf: (bytes: ArrayBuffer, mime: string) => string;
  readonly forgetAddress: (url: string) => void;
}

/** A file as it comes from the picker, a drop, the clipboard or the samples. */
export interface IncomingPhoto {
  readonly name: string;
  readonly mime: string;
  readonly read: () => Promise<ArrayBuffer>;
}

/** Fields of the record that the Measure screen itself does not set. */
export type RecordPatch = Partial<
  Pick<
    Swatch,
    'yarnId' | 'machineId' | 'cylinderNeedles' | 'reading' | 'restState' | 'notes' | 'thicknessMm' | 'layers'
  >
>;

export interface Session {
  readonly store: StoreApi<SessionState>;
  /** Opens a swatch by id, or the draft that was worked on last. Does nothing when that one is open already. */
  readonly start: (swatchId: Id | null) => Promise<void>;
  /** Reads, keeps and measures a photo. When it cannot be read, what was open stays as it was. */
  readonly openPhoto: (photo: IncomingPhoto) => Promise<void>;
  /** Measures the open photo again from the beginning, for a draft whose measuring was cancelled. */
  readonly measureAgain: () => Promise<void>;
  /** Looks for the stitches again inside a polygon; her corrections are replayed on what is found. */
  readonly lookAgain: (region: readonly PhotoPoint[] | null) => Promise<void>;
  readonly takeBackLook: () => void;
  /** Grows the grid from two neighbouring columns and two rows. Resolves to false when nothing grew. */
  readonly grow: (
    wales: readonly [PhotoPoint, PhotoPoint],
    courses: readonly [PhotoPoint, PhotoPoint],
  ) => Promise<boolean>;
  readonly chooseReference: (index: number) => void;
  readonly correctReference: (
    index: number,
    change: Pick<ScaleReference, 'kind' | 'handles'> & { readonly paperSize?: PaperName | null },
    lengthMm: number | null,
  ) => Promise<void>;
  readonly confirmScale: (
    reference: ScaleReference,
    by: ConfirmedScale['confirmedBy'],
    named: NamedReference | null,
  ) => void;
  readonly reopenScale: () => void;
  readonly rememberReference: (name: string, reference: ScaleReference) => NamedReference;
  readonly edit: (edit: GridEdit) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  /** She has looked at the lines and found them right. */
  readonly approveLines: () => void;
  readonly patchRecord: (patch: RecordPatch) => void;
  readonly save: () => Promise<boolean>;
  /** Puts the open swatch aside (it stays in the notebook as it is) and waits for another photo. */
  readonly close: () => void;
  readonly dismissProblem: () => void;
  /** Opens the draft that was worked on last; does nothing when there is none. */
  readonly resume: () => Promise<void>;
  /** The grid and window as corrected, with a further edit tried on it if given. */
  readonly derived: (preview?: GridEdit | null) => DerivedGrid | null;
  /** The gauge with all that explains it; null while there is no scale or no window. */
  readonly gauge: (preview?: GridEdit | null) => GaugeResult | NoGauge | null;
}
