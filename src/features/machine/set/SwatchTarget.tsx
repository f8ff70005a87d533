import { useState } from 'react';
import type { CamRecord } from '../../../domain/camFitRecords';
import type { Id } from '../../../domain/records';
import { usualLandmark } from '../../../store/machineLandmark';
import { type CamTarget, targetOfSwatch } from '../../../store/machineTarget';
import { SelectField } from '../../../ui/fields/SelectField';
import type { OpenMachine } from '../openMachine';
import { dayWords, landmarkWords, recordGauge, recordSetting, yarnName } from '../words';

/** So many swatches are shown at first. */
const FIRST_SHOWN = 12;

interface Props {
  readonly open: OpenMachine;
  readonly onTarget: (target: CamTarget) => void;
}

/** The swatches whose setting can be gone back to, newest first. */
export const SwatchTarget = ({ open, onTarget }: Props) => {
  const { knowledge, landmarks, swatches } = open;
  const [chosen, setChosen] = useState<Id | null>(null);
  const [yarnId, setYarnId] = useState('');
  const [all, setAll] = useState(false);
  const landmark = landmarks.find(({ id }) => id === chosen) ?? usualLandmark(open);
  if (!landmark) return null;
  const atLandmark = knowledge.records(landmark.id).filter(({ landmarkId }) => landmarkId === landmark.id);
  const dayOf = (id: Id): string => swatches.find((swatch) => swatch.id === id)?.createdAt ?? '';
  const yarnIds = [...new Set(atLandmark.map((record) => record.yarnId))];
  const shown = atLandmark.filter((record) => yarnId === '' || record.yarnId === yarnId).reverse();
  const name = (record: CamRecord): string => yarnName(open.yarns, record.yarnId);
  return (
    <div className="stack">
      <div className="machine-pair">
        {landmarks.length > 1 && (
          <SelectField
            label="I measure at"
            value={landmark.id}
            options={landmarks.map((one) => [one.id, landmarkWords(one)] as const)}
            onChange={setChosen}
          />
        )}
        {yarnIds.length > 1 && (
          <SelectField
            label="Yarn"
            value={yarnId}
            options={[['', 'Any yarn'], ...yarnIds.map((id) => [id, yarnName(open.yarns, id)] as const)]}
            onChange={setYarnId}
          />
        )}
      </div>
      {atLandmark.length === 0 && (
        <p className="note">
          No swatch of this machine has a gauge and a reading at these points yet: measure one, and write the
          reading down with it.
        </p>
      )}
      <ul className="machine-lines" aria-label="Swatches to go back to">
        {(all ? shown : shown.slice(0, FIRST_SHOWN)).map((record) => (
          <li key={record.id}>
            <button
              type="button"
              onClick={() =>
                onTarget(targetOfSwatch(open, knowledge, record, `the swatch of ${name(record)}`))
              }
            >
              <strong>{name(record)}</strong>
              <span>{recordGauge(record)}</span>
              <span className="small soft">
                {recordSetting(record, knowledge.unit)} · {record.cylinderNeedles} needles ·{' '}
                {dayWords(dayOf(record.id))}
              </span>
            </button>
          </li>
        ))}
      </ul>
      {!all && shown.length > FIRST_SHOWN && (
        <div className="row">
          <button type="button" className="button" onClick={() => setAll(true)}>
            Show all {shown.length}
          </button>
        </div>
      )}
    </div>
  );
};
