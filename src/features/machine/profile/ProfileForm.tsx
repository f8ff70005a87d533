import { type ReactNode, useId } from 'react';
import type { MachineRecord } from '../../../domain/machineRecords';
import { turnCount } from '../../../domain/setCamTurns';
import type { Storage } from '../../../storage/repository';
import { Choices } from '../../../ui/fields/Choices';
import { TextField } from '../../../ui/fields/TextField';
import { PhotoField } from '../../../ui/photoIn/PhotoField';
import { DraftForm } from '../DraftForm';
import { useDraft } from '../useDraft';
import { directionNames } from '../words';
import { CylinderFields } from './CylinderFields';
import { draftOf, machineFrom } from './profileDraft';

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
  const { draft, change, saving } = useDraft({
    start: () => draftOf(machine),
    outcomeOf: (typed) => machineFrom(typed, machine),
    keep: (made) => storage.machines.save(made),
    onSaved,
  });
  return (
    <DraftForm
      saving={saving}
      action={action}
      others={children}
      left={
        <>
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
        </>
      }
      right={
        <>
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
        </>
      }
    />
  );
};
