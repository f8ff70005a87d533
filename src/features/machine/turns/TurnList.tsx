import type { TurnRecord } from '../../../domain/machineRecords';
import type { Id } from '../../../domain/records';
import { mean } from '../../../domain/statistics';
import { formatLength } from '../../../domain/units';
import { dayWords } from '../words';

const lastMoveWords = (lastMove: TurnRecord['lastMoveBefore']): string =>
  lastMove === null ? 'last turned: not known' : `last turned ${lastMove}`;

interface Props {
  /** Newest first. */
  readonly records: readonly TurnRecord[];
  /** The one that is being added to. */
  readonly current: Id | null;
  readonly onGoOn: (record: TurnRecord) => void;
  readonly onTakeBack: (record: TurnRecord) => void;
  readonly onDelete: (record: TurnRecord) => void;
}

/** Counted turns as they were recorded: reading, move, reading, and so on. */
export const TurnList = ({ records, current, onGoOn, onTakeBack, onDelete }: Props) => (
  <ul className="turn-records" aria-label="Records of turns">
    {records.map((record, index) => {
      const shown = ({ repeats, unit }: TurnRecord['start']): string =>
        formatLength(mean(repeats.map(({ mm }) => mm)), unit);
      return (
        <li key={record.id} className="machine-card stack">
          <p className="small soft">
            {dayWords(record.createdAt)}, {lastMoveWords(record.lastMoveBefore)}
          </p>
          <ol className="turn-stops">
            <li>
              <strong>{shown(record.start)}</strong>
            </li>
            {record.moves.map(({ direction, turns, after }, place) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: moves are told apart by their order alone.
              <li key={place}>
                <span>
                  {direction === 'clockwise' ? '↻' : '↺'} {Number(turns.toFixed(3))}{' '}
                  <span className="visually-hidden">turns {direction}</span>
                </span>
                <strong>{shown(after)}</strong>
              </li>
            ))}
          </ol>
          <div className="row">
            {index === 0 && record.id !== current && (
              <button type="button" className="button" onClick={() => onGoOn(record)}>
                Go on, the nut has not moved
              </button>
            )}
            {index === 0 && record.moves.length > 0 && (
              <button type="button" className="button" onClick={() => onTakeBack(record)}>
                Take back the last move
              </button>
            )}
            <button type="button" className="button button--quiet" onClick={() => onDelete(record)}>
              Delete
            </button>
          </div>
        </li>
      );
    })}
  </ul>
);
