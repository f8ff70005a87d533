import type { Transaction } from 'dexie';
import { withLandmarkProfile, withProfile } from '../domain/machineRecords';
import type { Landmark, Machine, Swatch } from '../domain/records';
import { type SwatchCard, toCard } from './cards';
import type { SwatchRow } from './database';

/** Version 1 kept the measurement inside the swatch and had no cards: moves the one and makes the other. */
export const splitMeasurements = async (transaction: Transaction): Promise<void> => {
  const swatches = transaction.table<Swatch & SwatchRow, string>('swatches');
  for (const id of await swatches.toCollection().primaryKeys()) {
    const row = await swatches.get(id);
    if (!row) continue;
    const { measurement, ...rest } = row;
    await transaction.table('cards').put(toCard(row));
    if (measurement) await transaction.table('measurements').put({ swatchId: id, measurement });
    await transaction.table('swatches').put(rest);
  }
};

/** Version 4 knew one measurement of each piece: every swatch is the first of its own. */
export const namePieces = async (transaction: Transaction): Promise<void> => {
  await transaction
    .table<SwatchCard, string>('cards')
    .toCollection()
    .modify((card, ref) => {
      ref.value = { ...card, pieceId: card.id };
    });
};

/** Version 2 knew only names of machines and landmarks: fills in the usual profile, which the user may then correct. */
export const fillProfiles = async (transaction: Transaction): Promise<void> => {
  const machines = transaction.table<Machine, string>('machines');
  await machines.bulkPut((await machines.toArray()).map(withProfile));
  const landmarks = transaction.table<Landmark, string>('landmarks');
  await landmarks.bulkPut((await landmarks.toArray()).map(withLandmarkProfile));
};
