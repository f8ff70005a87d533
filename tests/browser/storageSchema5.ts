import type { SwatchCard } from '../../src/storage/cards';
import { schema4Rows, schema4Stores } from './storageSchema4';

/** A notebook exactly as schema version 5 stored it: version 4 with the piece of fabric on each card. Never changed again. */
export const schema5Stores = { ...schema4Stores, cards: 'id, createdAt, pieceId' };

export const schema5Rows: Record<string, readonly object[]> = {
  ...schema4Rows,
  cards: (schema4Rows.cards as readonly SwatchCard[]).map((card) => ({ ...card, pieceId: card.id })),
};
