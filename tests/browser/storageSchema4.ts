import { schema3Rows, schema3Stores } from './storageSchema3';

/** A notebook exactly as schema version 4 stored it: version 3 with an index over the cards. Never changed again. */
export const schema4Stores = { ...schema3Stores, cards: 'id, createdAt' };

export const schema4Rows: Record<string, readonly object[]> = schema3Rows;
