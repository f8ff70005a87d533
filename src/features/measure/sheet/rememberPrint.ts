import type { NamedReference } from '../../../domain/records';
import type { PrintScale } from '../../../domain/referenceSheet';
import { newId, now } from '../../../storage/ids';
import { appStorage } from '../../../storage/repository';

/** What a printed sheet is called once its check rulers have been measured. */
export const printedSheetName = 'my printed sheet';

/** What the check rulers of her printed sheet measure, once she has said it. */
export const knownPrint = async (): Promise<PrintScale | null> => {
  const sheets = (await appStorage().namedReferences.list()).filter(({ kind }) => kind === 'sheet');
  const [last] = sheets.sort((a, b) => b.lastUsedAt.localeCompare(a.lastUsedAt));
  return last?.printScale ?? null;
};

/** Keeps what the check rulers of the print measure; a newer print takes the place of the one before. */
export const rememberPrint = async (printScale: PrintScale): Promise<void> => {
  const { namedReferences } = appStorage();
  const known = (await namedReferences.list()).find(
    ({ kind, name }) => kind === 'sheet' && name === printedSheetName,
  );
  const named: NamedReference = {
    id: known?.id ?? newId(),
    name: printedSheetName,
    kind: 'sheet',
    pitchMm: null,
    lastUsedAt: now(),
    printScale,
  };
  await namedReferences.save(named);
};
