import type { SwatchCard } from '../../../storage/cards';
import type { Records } from './useRecords';

interface Props {
  readonly last: SwatchCard;
  readonly records: Records;
  readonly onTake: (last: SwatchCard) => void;
}

/** Offers yarn and machine of the swatch that was finished last. Nothing is taken over unasked. */
export const LastTime = ({ last, records, onTake }: Props) => {
  const words = [
    records.yarns.find(({ id }) => id === last.yarnId)?.name,
    records.machines.find(({ id }) => id === last.machineId)?.name,
    last.cylinderNeedles !== null && `${last.cylinderNeedles} needles`,
  ].filter(Boolean);
  return words.length === 0 ? null : (
    <div className="row">
      <button type="button" className="button" onClick={() => onTake(last)}>
        As last time: {words.join(', ')}
      </button>
    </div>
  );
};
