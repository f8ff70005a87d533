import { useId, useRef, useState } from 'react';
import { Link } from 'wouter';
import type { TypedRepeat } from '../../../domain/caliperSlip';
import { withLandmarkProfile } from '../../../domain/machineRecords';
import type { CaliperReading, Id, RestState, Swatch } from '../../../domain/records';
import { type ReadingHandle, ReadingPart } from '../../../ui/fields/ReadingPart';
import { LandmarkPart } from './LandmarkPart';
import { LastTime } from './LastTime';
import { MachinePart } from './MachinePart';
import './record.css';
import { useLastTime } from './useLastTime';
import { type RecordStorage, useRecords } from './useRecords';
import { useRepeatability } from './useRepeatability';
import { WhereToMeasure } from './WhereToMeasure';
import { YarnPart } from './YarnPart';

/** The fields of a swatch that its record sets. */
export type RecordChange = Partial<
  Pick<Swatch, 'yarnId' | 'machineId' | 'cylinderNeedles' | 'reading' | 'restState' | 'notes'>
>;

interface Props {
  readonly storage: RecordStorage;
  readonly swatch: Swatch;
  /** Called at every change; the swatch that comes back in carries it. */
  readonly onChange: (change: RecordChange) => void;
  /** Stores the swatch as finished. Resolves to false when that failed, and the caller says why. */
  readonly onSave: () => Promise<boolean>;
}

const restStates: readonly (readonly [RestState, string])[] = [
  ['offMachine', 'Just off the machine'],
  ['rested', 'Rested'],
  ['washedAndDried', 'Washed and dried'],
  ['worn', 'Worn'],
];

const RestPart = ({
  chosen,
  onChoose,
}: {
  readonly chosen: RestState | null;
  readonly onChoose: (state: RestState) => void;
}) => {
  const name = useId();
  return (
    <fieldset>
      <legend className="label">The fabric in the photo is</legend>
      <div className="rest-states">
        {restStates.map(([state, words]) => (
          <label key={state} className="tick">
            <input type="radio" name={name} checked={chosen === state} onChange={() => onChoose(state)} />
            <span>{words}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
};

type FormName = 'yarn' | 'machine' | 'points';
const formNames: Readonly<Record<FormName, string>> = {
  yarn: 'The new yarn is not added yet: add it, or choose "Never mind", then save.',
  machine: 'The new machine is not added yet: add it, or choose "Never mind", then save.',
  points: 'The two new points are not added yet: add them, or choose "Never mind", then save.',
};

/** The last step: what the swatch is made of, what it came off, and what the caliper showed. Nothing here is required. */
export const RecordPanel = ({ storage, swatch, onChange, onSave }: Props) => {
  const notesId = useId();
  const records = useRecords(storage);
  const last = useLastTime(storage, swatch.id, swatch.yarnId === null && swatch.machineId === null);
  const reading = useRef<ReadingHandle>(null);
  const [landmarkId, setLandmarkId] = useState<Id | null>(swatch.reading?.landmarkId ?? null);
  const [unit, setUnit] = useState<CaliperReading['unit']>(swatch.reading?.unit ?? 'mm');
  const known = useRepeatability({ storage, machineId: swatch.machineId, landmarkId, swatchId: swatch.id });
  const [openForms, setOpenForms] = useState<ReadonlySet<FormName>>(new Set());
  const [message, setMessage] = useState<string | null>(null);
  const [saved, setSaved] = useState(false);

  if (!records) {
    return (
      <p className="soft" role="status">
        Opening the notebook…
      </p>
    );
  }
  const repeats = swatch.reading?.repeats ?? [];
  const landmarks = records.landmarks.filter(({ machineId }) => machineId === swatch.machineId);
  const landmark = landmarks.find(({ id }) => id === landmarkId);

  const change = (patch: RecordChange): void => {
    setSaved(false);
    setMessage(null);
    onChange(patch);
  };
  const setReading = (
    next: readonly TypedRepeat[],
    inUnit: CaliperReading['unit'],
    landmarkNow = landmarkId,
  ): void => {
    setUnit(inUnit);
    change({
      reading: next.length === 0 ? null : { landmarkId: landmarkNow, unit: inUnit, repeats: next },
    });
  };
  const pickLandmark = (id: Id | null): void => {
    setLandmarkId(id);
    if (repeats.length > 0) setReading(repeats, unit, id);
  };
  const adding =
    (form: FormName) =>
    (isOpen: boolean): void =>
      setOpenForms((before) => new Set([...before, form].filter((one) => isOpen || one !== form)));
  const save = async (): Promise<void> => {
    const [open] = openForms;
    if (open) {
      setMessage(formNames[open]);
      return;
    }
    if (reading.current && reading.current.settle() === null) {
      setMessage('The caliper reading needs a look first.');
      return;
    }
    setMessage(null);
    setSaved(await onSave());
  };

  return (
    <div className="record stack">
      {records.problem && <p className="note note--problem">{records.problem}</p>}
      {last && (
        <LastTime
          last={last}
          records={records}
          onTake={({ yarnId, machineId, cylinderNeedles, landmarkId: readAt, readingUnit }) => {
            setLandmarkId(readAt);
            setUnit(readingUnit ?? unit);
            const kept = swatch.reading && { ...swatch.reading, landmarkId: readAt };
            change({ yarnId, machineId, cylinderNeedles, reading: kept });
          }}
        />
      )}
      <YarnPart
        storage={storage}
        yarns={records.yarns}
        chosen={swatch.yarnId}
        onPick={(yarnId) => change({ yarnId })}
        onAdding={adding('yarn')}
      />
      <MachinePart
        storage={storage}
        machines={records.machines}
        machineId={swatch.machineId}
        needles={swatch.cylinderNeedles}
        onChange={(patch) => {
          if (patch.machineId !== undefined && patch.machineId !== swatch.machineId) {
            setLandmarkId(null);
            adding('points')(false);
            const kept = swatch.reading && { ...swatch.reading, landmarkId: null };
            change({ ...patch, reading: kept });
          } else change(patch);
        }}
        onAdding={adding('machine')}
      />
      <section className="stack" aria-label="Cam setting">
        <h3>Caliper reading</h3>
        {swatch.machineId === null ? (
          <p className="small soft">
            Choose the machine first to say which two points the reading runs between.
          </p>
        ) : (
          <LandmarkPart
            key={swatch.machineId}
            storage={storage}
            landmarks={landmarks}
            machineId={swatch.machineId}
            chosen={landmarkId}
            onPick={pickLandmark}
            onAdding={adding('points')}
          />
        )}
        {landmark && <WhereToMeasure storage={storage} landmark={withLandmarkProfile(landmark)} />}
        <ReadingPart
          ref={reading}
          repeats={repeats}
          unit={unit}
          jaw={landmark?.jaw ?? 'outside'}
          known={known}
          onChange={setReading}
        />
      </section>
      <RestPart chosen={swatch.restState} onChoose={(restState) => change({ restState })} />
      <div className="field">
        <label htmlFor={notesId}>Notes</label>
        <textarea
          id={notesId}
          rows={3}
          value={swatch.notes}
          onChange={(event) => change({ notes: event.target.value })}
        />
      </div>
      <div className="row">
        <button type="button" className="button button--primary" onClick={() => void save()}>
          {swatch.state === 'saved' ? 'Done' : 'Save in the notebook'}
        </button>
        {saved && (
          <Link href="/notebook" className="button">
            Go to the notebook
          </Link>
        )}
      </div>
      {swatch.state === 'saved' && <p className="small soft">Every change is kept as you make it.</p>}
      <p role="status">{message ?? (saved ? 'Saved in the notebook.' : null)}</p>
    </div>
  );
};
