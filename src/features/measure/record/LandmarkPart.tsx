import { useState } from 'react';
import type { Id, Jaw, Landmark } from '../../../domain/records';
import { blankLandmark } from '../../../storage/blank';
import { jawNames, jaws } from '../../../ui/fields/jaws';
import { TextField } from '../../../ui/fields/TextField';
import { PickOrAdd } from './PickOrAdd';
import type { RecordStorage } from './useRecords';

interface Props {
  readonly storage: RecordStorage;
  /** The landmarks of the chosen machine. */
  readonly landmarks: readonly Landmark[];
  readonly machineId: Id;
  readonly chosen: Id | null;
  readonly onPick: (id: Id | null) => void;
  readonly onAdding: (adding: boolean) => void;
}

/** The pair of points on the machine that the reading runs between. */
export const LandmarkPart = ({ storage, landmarks, machineId, chosen, onPick, onAdding }: Props) => {
  const [name, setName] = useState('');
  const [jaw, setJaw] = useState<Jaw>('outside');
  const [description, setDescription] = useState('');
  const add = async (): Promise<string | null> => {
    if (name.trim() === '') return 'Name the two points, such as "cam nut to bed plate".';
    const made: Landmark = { ...blankLandmark(machineId, name.trim()), jaw, description: description.trim() };
    await storage.landmarks.save(made);
    onPick(made.id);
    setName('');
    setDescription('');
    return null;
  };
  return (
    <PickOrAdd
      label="Measured between"
      noneName="Not said"
      addName="Two new points…"
      addAction="Add these points"
      options={landmarks.map((landmark) => ({
        id: landmark.id,
        name: `${landmark.name} (${jawNames[landmark.jaw].toLowerCase()})`,
      }))}
      chosen={chosen}
      onPick={onPick}
      onAdd={add}
      onAdding={onAdding}
    >
      <TextField
        label="From where to where"
        value={name}
        onChange={setName}
        hint="Two points that you marked on the machine, so that you find them again."
      />
      <fieldset>
        <legend className="label">Which part of the caliper touches</legend>
        <div className="choices">
          {jaws.map((one) => (
            <button key={one} type="button" aria-pressed={one === jaw} onClick={() => setJaw(one)}>
              {jawNames[one]}
            </button>
          ))}
        </div>
      </fieldset>
      <TextField label="How to find the points (if it helps)" value={description} onChange={setDescription} />
    </PickOrAdd>
  );
};
