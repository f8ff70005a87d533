import { useState } from 'react';
import type { LandmarkRecord, TurnRecord } from '../../../domain/machineRecords';
import type { NutDirection } from '../../../domain/turns';
import { Choices } from '../../../ui/fields/Choices';
import { ReadingPart } from '../../../ui/fields/ReadingPart';
import { TextField } from '../../../ui/fields/TextField';
import { useReading } from '../landmarks/useReading';
import type { OpenMachine } from '../openMachine';
import { directionNames, parseTurns } from '../words';

interface Props {
  readonly open: OpenMachine;
  readonly landmark: LandmarkRecord;
  readonly record: TurnRecord;
  readonly onMove: (move: TurnRecord['moves'][number]) => void;
  readonly onEnd: () => void;
}

const adviceFor = ({ moves }: TurnRecord): string => {
  if (moves.length === 0) return 'One whole turn is a good beginning.';
  if (moves.length === 1) return 'Now one more turn the same way: the two together show the travel.';
  return moves.every(({ direction }) => direction === moves[0]?.direction)
    ? 'Now a whole turn back: that shows the play.'
    : 'Enough to work with; more turns make it surer.';
};

/** One counted move of the nut and the reading after it. */
export const MoveForm = ({ open, landmark, record, onMove, onEnd }: Props) => {
  const reading = useReading(record.start.unit);
  const [direction, setDirection] = useState<NutDirection>(
    record.moves.at(-1)?.direction ?? open.machine.looserDirection,
  );
  const [turns, setTurns] = useState('1');
  const [problem, setProblem] = useState<string | null>(null);
  const keep = (): void => {
    const counted = parseTurns(turns);
    if ('sentence' in counted) {
      setProblem(counted.sentence);
      return;
    }
    const after = reading.settle(landmark.id);
    if (!after) {
      setProblem('Measure after turning, and type what the caliper shows.');
      return;
    }
    setProblem(null);
    onMove({ direction, turns: counted.turns, after });
  };
  return (
    <div className="stack machine-card">
      <h3>Turn, then measure again</h3>
      <p className="note note--warn small">
        Crank still, hands clear of needles and cam while you turn the nut.
      </p>
      <p>{adviceFor(record)}</p>
      <Choices label="I turned it" options={directionNames} chosen={direction} onChoose={setDirection} />
      <TextField
        label="How many turns"
        value={turns}
        onChange={setTurns}
        hint="Counted exactly, such as 1, 1 1/4 or 0.5; more than the play."
      />
      <ReadingPart
        {...reading.part}
        jaw={landmark.jaw}
        known={open.knowledge.repeatability(landmark.id)}
        label="The caliper shows now"
      />
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={keep}>
          Keep this move
        </button>
        <button type="button" className="button" onClick={onEnd}>
          That is all
        </button>
      </div>
    </div>
  );
};
