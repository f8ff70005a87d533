import { useState } from 'react';
import type { Id, Yarn } from '../../../domain/records';
import { blankYarn } from '../../../storage/blank';
import { YarnFields } from '../../../ui/fields/YarnFields';
import { PickOrAdd } from './PickOrAdd';
import type { RecordStorage } from './useRecords';

interface Props {
  readonly storage: RecordStorage;
  readonly yarns: readonly Yarn[];
  readonly chosen: Id | null;
  readonly onPick: (id: Id | null) => void;
  readonly onAdding: (adding: boolean) => void;
}

/** Which yarn the swatch is made of: one that is known, or a new one. */
export const YarnPart = ({ storage, yarns, chosen, onPick, onAdding }: Props) => {
  const [yarn, setYarn] = useState(() => blankYarn(''));
  const add = async (): Promise<string | null> => {
    if (yarn.name.trim() === '')
      return 'The yarn needs a name: type what its band says, or what you call it.';
    await storage.yarns.save({ ...yarn, name: yarn.name.trim() });
    onPick(yarn.id);
    setYarn(blankYarn(''));
    return null;
  };
  return (
    <PickOrAdd
      label="Yarn"
      noneName="No yarn named"
      addName="A new yarn…"
      addAction="Add this yarn"
      options={yarns.map(({ id, name, colour }) => ({ id, name: [name, colour].filter(Boolean).join(', ') }))}
      chosen={chosen}
      onPick={onPick}
      onAdd={add}
      onAdding={onAdding}
    >
      <YarnFields yarn={yarn} all={false} onChange={(change) => setYarn({ ...yarn, ...change })} />
    </PickOrAdd>
  );
};
