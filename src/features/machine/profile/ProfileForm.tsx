import { type FormEvent, type ReactNode, useId, useState } from 'react';
import type { MachineRecord } from '../../../domain/machineRecords';
import { turnCount } from '../../../domain/setCamTurns';
import type { Storage } from '../../../storage/repository';
import { Choices } from '../../../ui/fields/Choices';
import { TextField } from '../../../ui/fields/TextField';
import { PhotoField } from '../../../ui/photoIn/PhotoField';
import { sentenceOf } from '../../../ui/sentenceOf';
import { directionNames } from '../words';
import { CylinderFields } from './CylinderFields';
import { draftOf, machineFrom, type ProfileDraft } from './profileDraft';

const steps = [0.125, 0.25, 0.5, 1].map((turns) => [turns, turnCount(turns).text] as const);
const approaches = [
  ['tightening', 'Tightening (usual)'],
  ['loosening', 'Loosening'],
] as const;

interface Props {
  readonly storage: Storage;
  readonly machine: MachineRecord;
  readonly action: string;
  readonly onSaved: (machine: MachineRecord) => void;
  /** Further buttons beside the main one. */
  readonly children?: ReactNode;
}

/** Everything that is said about a machine. Nothing is changed until it is saved. */
export const ProfileForm = ({ storage, machine, action, onSaved, children }: Props) => {
  const notesId = useId();
  const [draft, setDraft] = useState<ProfileDraft>(() => draftOf(machine));
  const [problem, setProblem] = useState<string | null>(null);
  const [saved, setSaved] = useState(false);
  const change = (patch: Partial<ProfileDraft>): void => {
    setDraft((before) => ({ ...before, ...patch }));
    setProblem(null);
    setSaved(false);
  };
  const save = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const made = machineFrom(draft, machine);
    if ('sentence' in made) {
      setProblem(made.sentence);
      return;
    }
    try {
      await storage.machines.save(made.machine);
      setProblem(null);
      setSaved(true);
      onSaved(made.machine);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };

  return (
    <form className="machine-columns" noValidate onSubmit={(event) => void save(event)}>
      <div className="stack">
        <TextField label="Name of the machine" value={draft.name} onChange={(name) => change({ name })} />
        <CylinderFields
          cylinders={draft.cylinders}
          mounted={draft.mounted}
          onChange={(cylinders) => change({ cylinders })}
          onMounted={(mounted) => change({ mounted })}
        />
        <PhotoField
          storage={storage}
          label="Photo of the machine (if you like)"
          photoId={draft.photoId}
          onChange={(photoId) => change({ photoId })}
        />
      </div>
      <div className="stack">
        <Choices
          label="Turning the nut this way makes a longer, looser stitch"
          options={directionNames}
          chosen={draft.looserDirection}
          onChoose={(looserDirection) => change({ looserDirection })}
          hint="Seen from above. On most machines clockwise lowers the cam; yours counts."
        />
        <Choices
          label="You turn in steps of"
          options={steps}
          chosen={draft.stepTurns}
          onChoose={(stepTurns) => change({ stepTurns })}
          hint="Parts of a whole turn that you can tell by eye. Advice is given in these steps, finer where it must be."
        />
        <Choices
          label="Every approach to a setting ends"
          options={approaches}
          chosen={draft.approach}
          onChoose={(approach) => change({ approach })}
          hint="Ending on the same side each time takes up the play of thread and cam alike."
        />
        <TextField
          label="Pitch of the nut’s thread (if you know it)"
          value={draft.pitch}
          onChange={(pitch) => change({ pitch })}
          hint="Such as 0.8 mm or 32 per inch. It only serves until turns are measured."
        />
        <div className="field">
          <label htmlFor={notesId}>Notes</label>
          <textarea
            id={notesId}
            rows={3}
            value={draft.notes}
            onChange={(event) => change({ notes: event.target.value })}
          />
        </div>
        {problem && (
          <p className="note note--problem" role="alert">
            {problem}
          </p>
        )}
        <div className="row">
          <button type="submit" className="button button--primary">
            {action}
          </button>
          {children}
        </div>
        <p role="status">{saved && 'Saved.'}</p>
      </div>
    </form>
  );
};
