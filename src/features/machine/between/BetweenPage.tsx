import { useState } from 'react';
import { Link } from 'wouter';
import { evaluateReading } from '../../../domain/caliper';
import { parseCaliper } from '../../../domain/caliperText';
import { convertReading } from '../../../domain/landmarkRelation';
import type { LandmarkRecord, SameSettingRecord } from '../../../domain/machineRecords';
import type { Id } from '../../../domain/records';
import { newId, now } from '../../../storage/ids';
import { ReadingPart } from '../../../ui/fields/ReadingPart';
import { SelectField } from '../../../ui/fields/SelectField';
import { TextField } from '../../../ui/fields/TextField';
import { sentenceOf } from '../../../ui/sentenceOf';
import { useReading } from '../landmarks/useReading';
import { machinePath, type OpenMachine } from '../openMachine';
import { dayWords, landmarkWords, lengthWords, typedWords, unitWords } from '../words';

interface PairProps {
  readonly open: OpenMachine;
  readonly from: LandmarkRecord;
  readonly to: LandmarkRecord;
}

/** Both landmarks read at one setting. */
const PairForm = ({ open, from, to }: PairProps) => {
  const { storage, machine, knowledge } = open;
  const first = useReading(knowledge.unit);
  const second = useReading(knowledge.unit);
  const [message, setMessage] = useState<string | null>(null);
  const keep = async (): Promise<void> => {
    const readings = [first.settle(from.id), second.settle(to.id)].filter((reading) => reading !== null);
    if (readings.length < 2) {
      setMessage('Both readings are needed, taken without moving the nut between them.');
      return;
    }
    try {
      await storage.saveSameSetting({
        id: newId(),
        machineId: machine.id,
        readings,
        createdAt: now(),
        deletedAt: null,
      });
      first.clear();
      second.clear();
      setMessage('Kept. Now turn the nut half a turn or more, and read both again.');
    } catch (error) {
      setMessage(sentenceOf(error));
    }
  };
  return (
    <div className="stack machine-card">
      <h3>Read both at the same setting</h3>
      <ReadingPart
        {...first.part}
        jaw={from.jaw}
        known={knowledge.repeatability(from.id)}
        label={landmarkWords(from)}
      />
      <ReadingPart
        {...second.part}
        jaw={to.jaw}
        known={knowledge.repeatability(to.id)}
        label={landmarkWords(to)}
      />
      <div className="row">
        <button type="button" className="button button--primary" onClick={() => void keep()}>
          Keep these two
        </button>
      </div>
      <p role="status">{message}</p>
    </div>
  );
};

/** A reading at the one landmark, as it would read at the other. */
const Converter = ({ open, from, to }: PairProps) => {
  const { knowledge } = open;
  const [text, setText] = useState('');
  const relation = knowledge.relation(from.id, to.id);
  if (relation.kind === 'tooLittle') return <p className="note">{relation.sentence}</p>;
  const parsed = text.trim() === '' ? null : parseCaliper(text, knowledge.unit);
  const answer = parsed?.ok
    ? convertReading(
        relation,
        parsed.mm,
        evaluateReading(
          { landmarkId: from.id, unit: knowledge.unit, repeats: [{ typed: text.trim(), mm: parsed.mm }] },
          from.jaw,
          knowledge.repeatability(from.id),
        ).sameCaliperUncertaintyMm,
      )
    : null;
  return (
    <div className="stack machine-card">
      <TextField
        label={`A reading at ${from.name}`}
        value={text}
        onChange={setText}
        hint={`In ${unitWords[knowledge.unit]} unless you type the unit. ${relation.sentence}`}
      />
      <div aria-live="polite">
        {parsed && !parsed.ok && <p className="problem">{parsed.sentence}</p>}
        {answer && (
          <div className="figures">
            <p>
              <strong>{lengthWords(answer.mm, answer.plusMinus95Mm, knowledge.unit)}</strong>
              <span>at {to.name}</span>
            </p>
            {answer.beyondMm > 0 && (
              <p className="note note--warn small">
                Beyond the settings at which both were read: a straight line need not hold there.
              </p>
            )}
          </div>
        )}
      </div>
    </div>
  );
};

const PairList = ({ open, from, to }: PairProps) => {
  const { storage, shop } = open;
  const [problem, setProblem] = useState<string | null>(null);
  const readingAt = ({ readings }: SameSettingRecord, id: Id) =>
    readings.find(({ landmarkId }) => landmarkId === id);
  const pairs = open.sameSettings.filter((record) => readingAt(record, from.id) && readingAt(record, to.id));
  const remove = async (id: Id): Promise<void> => {
    try {
      await storage.markSameSetting(id, true);
      shop.offerUndo({
        sentence: 'The pair of readings is deleted.',
        undo: () => storage.markSameSetting(id, false),
      });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <>
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <ul className="pair-list" aria-label="Pairs of readings">
        {pairs.map((record) => {
          const [a, b] = [readingAt(record, from.id), readingAt(record, to.id)];
          return (
            <li key={record.id}>
              <span className="small soft">{dayWords(record.createdAt)}</span>
              <span>
                {a && typedWords(a)} ↔ {b && typedWords(b)}
              </span>
              <button type="button" className="button button--quiet" onClick={() => void remove(record.id)}>
                Delete
              </button>
            </li>
          );
        })}
      </ul>
    </>
  );
};

/** From one landmark to another, so that a change of habit loses no history. */
export const BetweenPage = ({ open }: { readonly open: OpenMachine }) => {
  const { landmarks, machine } = open;
  const [fromId, setFromId] = useState(landmarks[0]?.id ?? '');
  const [toId, setToId] = useState(landmarks[1]?.id ?? '');
  const from = landmarks.find(({ id }) => id === fromId) ?? landmarks[0];
  const to = landmarks.find(({ id }) => id === toId && id !== from?.id) ?? landmarks.find((l) => l !== from);
  if (!from || !to) {
    return (
      <p className="machine-empty">
        There is nothing to relate with fewer than two landmarks.{' '}
        <Link href={machinePath(machine.id, 'landmarks')}>All landmarks</Link>
      </p>
    );
  }
  const options = landmarks.map((landmark) => [landmark.id, landmarkWords(landmark)] as const);
  const key = `${from.id} ${to.id}`;
  return (
    <section className="stack" aria-labelledby="between-title">
      <h2 id="between-title">From one landmark to another</h2>
      <p>
        Read two landmarks at the same setting, two or three times at settings half a turn or more apart. From
        then on a reading at the one tells the other, and swatches read at either serve both.
      </p>
      <div className="machine-pair">
        <SelectField label="From" value={from.id} options={options} onChange={setFromId} />
        <SelectField
          label="To"
          value={to.id}
          options={options.filter(([id]) => id !== from.id)}
          onChange={setToId}
        />
      </div>
      <div className="machine-columns">
        <PairForm key={key} open={open} from={from} to={to} />
        <div className="stack">
          <Converter key={key} open={open} from={from} to={to} />
          <PairList open={open} from={from} to={to} />
        </div>
      </div>
    </section>
  );
};
