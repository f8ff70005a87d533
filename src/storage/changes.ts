import { Dexie, type IntervalTree } from 'dexie';
import type { Id } from '../domain/records';
import type { Database } from './database';

/** Which records of a table changed; `any` where that is not known, as after many at once. */
export type ChangedIds = ReadonlySet<Id> | 'any';

/** The tables whose changes somebody waits for. */
export type TableName = 'cards' | 'yarns' | 'machines' | 'landmarks' | 'thumbnails' | 'meta';

/** What changed, by table; only tables that did. */
export type Changes = ReadonlyMap<TableName, ChangedIds>;

/** The ids in Dexie's tree of key ranges; `any` when it holds a range that is no single id. */
const idsIn = (tree: IntervalTree | null | undefined): ChangedIds => {
  const ids = new Set<Id>();
  const waiting: (IntervalTree | null | undefined)[] = [tree];
  while (waiting.length > 0) {
    const node = waiting.pop();
    if (!node || !('from' in node)) continue;
    if (typeof node.from !== 'string' || node.from !== node.to) return 'any';
    ids.add(node.from);
    waiting.push(node.l, node.r);
  }
  return ids;
};

/**
 * Tells of every change to these tables once it is stored, made in this window or in another one.
 * @returns a function that ends it.
 */
export const followChanges = (
  database: Database,
  tables: readonly TableName[],
  onChange: (changes: Changes) => void,
): (() => void) => {
  const listen = (parts: Record<string, IntervalTree>): void => {
    const changes = new Map<TableName, ChangedIds>();
    for (const table of tables) {
      // Dexie names what changed by database, table and index; the primary key has no name. All of it after a page was put to sleep.
      const tree = parts[`idb://${database.name}/${table}/`];
      if (parts.all) changes.set(table, 'any');
      else if (tree) changes.set(table, idsIn(tree));
    }
    if (changes.size > 0) onChange(changes);
  };
  Dexie.on('storagemutated', listen);
  return () => Dexie.on.storagemutated.unsubscribe(listen);
};
