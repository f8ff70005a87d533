import { type CamSelection, restStateWords } from '../../../domain/camFitRecords';
import { SelectField } from '../../../ui/fields/SelectField';
import type { OpenMachine } from '../openMachine';
import { landmarkWords, yarnName } from '../words';
import { type ChosenSelection, offeredNeedles, offeredYarns, restStatesAt } from './selection';

interface Props {
  readonly open: OpenMachine;
  readonly selection: CamSelection;
  readonly onChange: (patch: Partial<ChosenSelection>) => void;
}

const count = (n: number): string => (n === 0 ? 'no swatch' : n === 1 ? '1 swatch' : `${n} swatches`);

/** The rest states that a yarn's swatches are of; they are never put on one line. */
const RestChoice = ({ open, selection, onChange }: Props) => {
  const { restState: _chosen, ...whole } = selection;
  const all = open.knowledge.select(whole);
  const isLent = all.kind === 'ready' && all.own.length === 0;
  const states = all.kind === 'mixedRestStates' ? all.states : restStatesAt(open, selection.landmarkId);
  if (!isLent && all.kind !== 'mixedRestStates') return null;
  if (states.length < 2) return null;
  const chosen = selection.restState;
  return (
    <fieldset className="field">
      <legend className="label">Rest state of the fabric</legend>
      {chosen === undefined && all.kind === 'mixedRestStates' && <p className="note small">{all.sentence}</p>}
      {isLent && <p className="small soft">Of the other yarns, whose swatches this one goes by.</p>}
      <div className="rest-choice">
        {states.map(({ restState, count: n }) => (
          <button
            key={String(restState)}
            type="button"
            className="button"
            aria-pressed={chosen !== undefined && restState === chosen}
            onClick={() => onChange({ restState })}
          >
            {restStateWords(restState)} ({n})
          </button>
        ))}
      </div>
    </fieldset>
  );
};

/** Which swatches a fit is made from: yarn, cylinder, landmark and rest state. */
export const SelectionFields = (props: Props) => {
  const { open, selection, onChange } = props;
  const ofYarn = (id: string): number => open.swatches.filter(({ yarnId }) => yarnId === id).length;
  const needles = offeredNeedles(open);
  return (
    <div className="stack">
      <div className="machine-pair">
        <SelectField
          label="Yarn"
          value={selection.yarnId}
          options={offeredYarns(open).map(
            ({ id }) => [id, `${yarnName(open.yarns, id)} (${count(ofYarn(id))})`] as const,
          )}
          onChange={(yarnId) => onChange({ yarnId, needles: null })}
        />
        {needles.length > 1 && (
          <SelectField
            label="Cylinder"
            value={String(selection.cylinderNeedles)}
            options={needles.map((n) => [String(n), `${n} needles`] as const)}
            onChange={(n) => onChange({ needles: Number(n) })}
          />
        )}
        {open.landmarks.length > 1 && (
          <SelectField
            label="Read at"
            value={selection.landmarkId}
            options={open.landmarks.map((one) => [one.id, landmarkWords(one)] as const)}
            onChange={(landmarkId) => onChange({ landmarkId })}
          />
        )}
      </div>
      <RestChoice {...props} />
    </div>
  );
};
