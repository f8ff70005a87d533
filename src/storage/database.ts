import { Dexie, type Table } from 'dexie';
import type { Id, Landmark, Machine, Moment, NamedReference, Swatch, Yarn } from '../domain/records';
import { applySchema } from './schema';

/** A swatch as stored: who wrote it last, and how often it was written. */
export interface SwatchRow extends Swatch {
  readonly revision: number;
  /** The window (browser tab) that wrote this revision. */
  readonly writer: Id;
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

/** The notebook's tables. Photos lie apart from the swatches so that lists never load them. */
export class Database extends Dexie {
  declare readonly yarns: Table<Yarn, Id>;
  declare readonly machines: Table<Machine, Id>;
  declare readonly landmarks: Table<Landmark, Id>;
  declare readonly swatches: Table<SwatchRow, Id>;
  declare readonly photos: Table<PhotoRow, Id>;
  declare readonly thumbnails: Table<ThumbnailRow, Id>;
  declare readonly namedReferences: Table<NamedReference, Id>;
  declare readonly meta: Table<MetaRow, string>;

  constructor(name: string) {
    // Strict durability: a transaction counts as done only when the disk has it, so that a power cut loses nothing.
    super(name, { chromeTransactionDurability: 'strict' });
    applySchema(this);
  }
}
