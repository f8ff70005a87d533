import type { Table } from 'dexie';
import type { Id, Swatch } from '../../domain/records';
import type { Database } from '../database';
import { readSwatch } from '../swatches';
import type { ArchiveContents } from './read';
import { sameJson } from './sameJson';

export type RecordKind =
  | 'yarn'
  | 'machine'
  | 'landmark'
  | 'reference'
  | 'turns'
  | 'sameSetting'
  | 'camLog'
  | 'swatch';

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

interface Row {
  readonly id: Id;
}

interface SimpleKind {
  readonly kind: RecordKind;
  readonly table: Table<Row, Id>;
  readonly records: readonly Row[];
  readonly labelOf: (record: Row) => string;
}

/** One row in one table each; the plan only ever puts back what came out of the same table or file. */
const simpleKind = <T extends Row>(
  kind: RecordKind,
  table: Table<T, Id>,
  records: readonly T[],
  labelOf: (record: T) => string,
): SimpleKind => ({
  kind,
  table: table as unknown as Table<Row, Id>,
  records,
  labelOf: labelOf as (record: Row) => string,
});

const nameOf = ({ name }: { readonly name: string }): string => name;
const dayOf = (moment: string): string => moment.slice(0, 10);

/** The kinds that are one row in one table. */
export const simpleKinds = (database: Database, contents: ArchiveContents): readonly SimpleKind[] => [
  simpleKind('yarn', database.yarns, contents.yarns, nameOf),
  simpleKind('machine', database.machines, contents.machines, nameOf),
  simpleKind('landmark', database.landmarks, contents.landmarks, nameOf),
  simpleKind('reference', database.namedReferences, contents.namedReferences, nameOf),
  simpleKind('turns', database.turns, contents.turns, (r) => `Counted turns of ${dayOf(r.createdAt)}`),
  simpleKind(
    'sameSetting',
    database.sameSettings,
    contents.sameSettings,
    (r) => `Points read together on ${dayOf(r.createdAt)}`,
  ),
  simpleKind(
    'camLog',
    database.camLogs,
    contents.camLogs,
    (r) => `Cam set on ${dayOf(r.startedAt)}: ${r.goal}`,
  ),
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
  for (const { kind, table, records, labelOf } of simpleKinds(database, contents)) {
    const rows = await table.bulkGet(records.map(({ id }) => id));
    records.forEach((there, index) => {
      const here = rows[index] ?? null;
      items.push({ kind, id: there.id, label: labelOf(there), there, here, state: stateOf(here, there) });
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
