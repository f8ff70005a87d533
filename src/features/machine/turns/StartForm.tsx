import { useState } from 'react';
import type { LandmarkRecord } from '../../../domain/machineRecords';
import type { CaliperReading } from '../../../domain/records';
import type { NutDirection } from '../../../domain/turns';
import { Choices } from '../../../ui/fields/Choices';
import { ReadingPart } from '../../../ui/fields/ReadingPart';
import { useReading } from '../landmarks/useReading';
import type { OpenMachine } from '../openMachine';

export const lastMoves: readonly (readonly [NutDirection | null, string])[] = [
  ['clockwise', 'Clockwise'],
  ['anticlockwise', 'Anticlockwise'],
  [null, 'Not sure'],
];

interface Props {
  readonly open: OpenMachine;
  readonly landmark: LandmarkRecord;
  readonly onStart: (start: CaliperReading, lastMoveBefore: NutDirection | null) => void;
}

/** The first reading of a record, before anything is turned. */
export const StartForm = ({ open, landmark, onStart }: Props) => {
  const reading = useReading(open.knowledge.unit);
  const [lastMove, setLastMove] = useState<NutDirection | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const start = (): void => {
    const settled = reading.settle(landmark.id);
    if (settled) onStart(settled, lastMove);
    else setProblem('Type what the caliper shows first.');
  };
  return (
    <div className="stack machine-card">
      <h3>Measure before you turn</h3>
      <Choices
        label="The nut was last turned"
        options={lastMoves}
        chosen={lastMove}
        onChoose={setLastMove}
        hint="If you are not sure, turn it half a turn one way first and say which: otherwise play cannot be told."
      />
      <ReadingPart {...reading.part} jaw={landmark.jaw} known={open.knowledge.repeatability(landmark.id)} />
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={start}>
          Now count turns
        </button>
      </div>
    </div>
  );
};
