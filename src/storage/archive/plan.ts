import type { Table } from 'dexie';
import type { Id, Swatch } from '../../domain/records';
import type { Database } from '../database';
import { readSwatch } from '../swatches';
import type { ArchiveContents } from './read';
import { sameJson } from './sameJson';

export type RecordKind = 'yarn' | 'machine' | 'landmark' | 'reference' | 'swatch';

/** What taking one record out of the archive would mean for the notebook. */
export interface ImportItem {
  readonly kind: RecordKind;
  readonly id: Id;
  /** A name or, for a swatch, its date and note. */
  readonly label: string;
  readonly state: 'added' | 'changed' | 'same';
  /** The record in the archive. */
  readonly there: { readonly id: Id };
  /** The record in the notebook at the time of planning; null when it has none of that id. */
  readonly here: { readonly id: Id } | null;
}

export interface ImportPlan {
  readonly contents: ArchiveContents;
  readonly items: readonly ImportItem[];
  /** One sentence each: what is missing from the archive itself. */
  readonly remarks: readonly string[];
}

interface Named {
  readonly id: Id;
  readonly name: string;
}

/** The kinds that are one row in one table. */
export const simpleKinds = (
  database: Database,
  contents: ArchiveContents,
): readonly {
  readonly kind: RecordKind;
  readonly table: Table<Named, Id>;
  readonly records: readonly Named[];
}[] => [
  { kind: 'yarn', table: database.yarns as unknown as Table<Named, Id>, records: contents.yarns },
  { kind: 'machine', table: database.machines as unknown as Table<Named, Id>, records: contents.machines },
  { kind: 'landmark', table: database.landmarks as unknown as Table<Named, Id>, records: contents.landmarks },
  {
    kind: 'reference',
    table: database.namedReferences as unknown as Table<Named, Id>,
    records: contents.namedReferences,
  },
];

const stateOf = (here: unknown, there: unknown): ImportItem['state'] =>
  here === null ? 'added' : sameJson(here, there) ? 'same' : 'changed';

const swatchLabel = (swatch: Swatch): string =>
  [`Swatch of ${swatch.createdAt.slice(0, 10)}`, swatch.notes.trim().slice(0, 60)].filter(Boolean).join(': ');

/** Sentences about what the swatches of an archive name but the archive lacks and the notebook has not either. */
const gapsIn = async (database: Database, contents: ArchiveContents): Promise<string[]> => {
  const inArchive = new Set(contents.photos.map((photo) => photo.id));
  let photos = 0;
  for (const { photoId } of contents.swatches) {
    if (photoId === null || inArchive.has(photoId)) continue;
    if ((await database.photos.where('id').equals(photoId).count()) === 0) photos += 1;
  }
  return photos === 0
    ? []
    : [
        `${photos === 1 ? 'One swatch comes' : `${photos} swatches come`} without a photo, because the archive holds none for it.`,
      ];
};

/** Compares an archive with the notebook; changes nothing. */
export const planImport = async (database: Database, contents: ArchiveContents): Promise<ImportPlan> => {
  const items: ImportItem[] = [];
  for (const { kind, table, records } of simpleKinds(database, contents)) {
    const rows = await table.bulkGet(records.map(({ id }) => id));
    records.forEach((there, index) => {
      const here = rows[index] ?? null;
      items.push({ kind, id: there.id, label: there.name, there, here, state: stateOf(here, there) });
    });
  }
  for (const there of contents.swatches) {
    const here = (await readSwatch(database, there.id))?.swatch ?? null;
    items.push({
      kind: 'swatch',
      id: there.id,
      label: swatchLabel(there),
      there,
      here,
      state: stateOf(here, there),
    });
  }
  return { contents, items, remarks: await gapsIn(database, contents) };
};
