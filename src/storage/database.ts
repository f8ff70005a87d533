import { Dexie, type Table } from 'dexie';
import type { CamLog, SameSettingRecord, TurnRecord } from '../domain/machineRecords';
import type { Measurement } from '../domain/measurement';
import type { Id, Landmark, Machine, Moment, NamedReference, Swatch, Yarn } from '../domain/records';
import type { SwatchCard } from './cards';
import { applySchema, schemaVersion } from './schema';

/** A swatch as stored, without its measurement: who wrote it last, and how often it was written. */
export interface SwatchRow extends Omit<Swatch, 'measurement'> {
  readonly revision: number;
  /** The window (browser tab) that wrote this revision. */
  readonly writer: Id;
}

/** What the pipeline found for a swatch: large, written once, and left alone by the edits that follow. */
export interface MeasurementRow {
  readonly swatchId: Id;
  readonly measurement: Measurement;
}

export interface PhotoRow {
  readonly id: Id;
  readonly fileName: string;
  readonly mime: string;
  readonly bytes: ArrayBuffer;
  readonly createdAt: Moment;
}

export interface ThumbnailRow {
  readonly photoId: Id;
  readonly mime: string;
  readonly bytes: ArrayBuffer;
}

export interface MetaRow {
  readonly key: string;
  readonly value: unknown;
}

/**
 * The notebook's tables. What is large lies apart from what lists read (cards) and from what each edit writes (swatches).
 */
export class Database extends Dexie {
  declare readonly yarns: Table<Yarn, Id>;
  declare readonly machines: Table<Machine, Id>;
  declare readonly landmarks: Table<Landmark, Id>;
  declare readonly swatches: Table<SwatchRow, Id>;
  declare readonly measurements: Table<MeasurementRow, Id>;
  declare readonly cards: Table<SwatchCard, Id>;
  declare readonly photos: Table<PhotoRow, Id>;
  declare readonly thumbnails: Table<ThumbnailRow, Id>;
  declare readonly namedReferences: Table<NamedReference, Id>;
  declare readonly turns: Table<TurnRecord, Id>;
  declare readonly sameSettings: Table<SameSettingRecord, Id>;
  declare readonly camLogs: Table<CamLog, Id>;
  declare readonly meta: Table<MetaRow, string>;

  constructor(name: string) {
    // Strict durability: a transaction counts as done only when the disk has it, so that a power cut loses nothing.
    // What was read is kept by whoever reads it; a second copy of thousands of cards in a cache would only cost memory and time.
    super(name, { chromeTransactionDurability: 'strict', cache: 'disabled' });
    applySchema(this);
    // Dexie opens a database of a newer schema all the same; writing old rows into it could lose what they do not know.
    this.on('ready', () => {
      if (Math.floor(this.backendDB().version / 10) > schemaVersion) {
        throw new Dexie.VersionError('The notebook belongs to a newer version of the app.');
      }
    });
  }
}
