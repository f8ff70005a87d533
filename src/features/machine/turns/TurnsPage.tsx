import { useState } from 'react';
import type { LandmarkRecord, TurnRecord } from '../../../domain/machineRecords';
import type { CaliperReading, Id } from '../../../domain/records';
import type { NutDirection } from '../../../domain/turns';
import { newId, now } from '../../../storage/ids';
import { usualLandmark } from '../../../store/machineLandmark';
import { SelectField } from '../../../ui/fields/SelectField';
import { LandmarkPhoto } from '../../../ui/photoIn/LandmarkPhoto';
import { sentenceOf } from '../../../ui/sentenceOf';
import { NeedsLandmark } from '../NeedsLandmark';
import type { OpenMachine } from '../openMachine';
import { landmarkWords } from '../words';
import { MoveForm } from './MoveForm';
import { StartForm } from './StartForm';
import { TravelFigure } from './TravelFigure';
import { TurnList } from './TurnList';

/** Whether the measured turns go the way that the profile and the landmark state; null while that cannot be told. */
const agreesWithStated = (open: OpenMachine, landmark: LandmarkRecord): boolean | null => {
  const answer = open.knowledge.calibration(landmark.id);
  const growth = open.knowledge.growth(landmark.id);
  if (answer.kind === 'tooLittle' || answer.nominalOnly || growth === null) return null;
  const { value, standardUncertainty } = answer.travelPerTurnMm;
  if (Math.abs(value) <= 3 * standardUncertainty) return null;
  return value > 0 === ((open.machine.looserDirection === 'clockwise') === (growth === 'grows'));
};

const TurnsAt = ({ open, landmark }: { readonly open: OpenMachine; readonly landmark: LandmarkRecord }) => {
  const { storage, shop, machine, knowledge } = open;
  const [current, setCurrent] = useState<Id | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const records = open.turns.filter(({ landmarkId }) => landmarkId === landmark.id).reverse();
  const record = records.find(({ id }) => id === current);

  const attempt = (work: () => Promise<void>): void => {
    work().then(
      () => setProblem(null),
      (error: unknown) => setProblem(sentenceOf(error)),
    );
  };
  const start = (reading: CaliperReading, lastMoveBefore: NutDirection | null): void =>
    attempt(async () => {
      const made: TurnRecord = {
        id: newId(),
        machineId: machine.id,
        landmarkId: landmark.id,
        start: reading,
        lastMoveBefore,
        moves: [],
        createdAt: now(),
        deletedAt: null,
      };
      await storage.saveTurns(made);
      setCurrent(made.id);
    });
  const remove = ({ id }: TurnRecord): void =>
    attempt(async () => {
      await storage.markTurns(id, true);
      if (id === current) setCurrent(null);
      shop.offerUndo({
        sentence: 'The record of turns is deleted.',
        undo: () => storage.markTurns(id, false),
      });
    });

  return (
    <>
      <TravelFigure
        answer={knowledge.calibration(landmark.id)}
        unit={knowledge.unit}
        agrees={agreesWithStated(open, landmark)}
      />
      <div className="machine-columns">
        <div className="stack">
          {record ? (
            <MoveForm
              key={`${record.id} ${record.moves.length}`}
              open={open}
              landmark={landmark}
              record={record}
              onMove={(move) =>
                attempt(() => storage.saveTurns({ ...record, moves: [...record.moves, move] }))
              }
              onEnd={() => setCurrent(null)}
            />
          ) : (
            <StartForm open={open} landmark={landmark} onStart={start} />
          )}
          {problem && (
            <p className="note note--problem" role="alert">
              {problem}
            </p>
          )}
          <LandmarkPhoto storage={storage} landmark={landmark} />
        </div>
        <div className="stack">
          <TurnList
            records={records}
            current={current}
            onGoOn={({ id }) => setCurrent(id)}
            onTakeBack={(one) =>
              attempt(async () => {
                await storage.saveTurns({ ...one, moves: one.moves.slice(0, -1) });
                shop.offerUndo({
                  sentence: 'The last move is taken back.',
                  undo: () => storage.saveTurns(one),
                });
              })
            }
            onDelete={remove}
          />
        </div>
      </div>
    </>
  );
};

/** How far a turn of the nut goes, measured; for one landmark at a time. */
export const TurnsPage = ({ open }: { readonly open: OpenMachine }) => {
  const [chosen, setChosen] = useState<Id | null>(null);
  const landmark = open.landmarks.find(({ id }) => id === chosen) ?? usualLandmark(open);
  if (!landmark) return <NeedsLandmark machineId={open.machine.id} why="to see how far a turn goes" />;
  return (
    <section className="stack" aria-label="Turns">
      <p>
        Measure, turn the nut a counted number of turns, measure again: that shows how far a turn moves the
        cam, and how much of a turn back is play.
      </p>
      <SelectField
        label="Measured at"
        value={landmark.id}
        options={open.landmarks.map((one) => [one.id, landmarkWords(one)] as const)}
        onChange={setChosen}
      />
      <TurnsAt key={landmark.id} open={open} landmark={landmark} />
    </section>
  );
};
