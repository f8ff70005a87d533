import { useId, useState } from 'react';
import type { Id, Machine } from '../../../domain/records';
import { blankMachine } from '../../../storage/blank';
import { parseNeedles } from '../../../ui/fields/needles';
import { TextField } from '../../../ui/fields/TextField';
import { sentenceOf } from '../../../ui/sentenceOf';
import { PickOrAdd } from './PickOrAdd';
import type { RecordStorage } from './useRecords';

interface Props {
  readonly storage: RecordStorage;
  readonly machines: readonly Machine[];
  readonly machineId: Id | null;
  readonly needles: number | null;
  readonly onChange: (patch: { machineId?: Id | null; cylinderNeedles?: number | null }) => void;
  readonly onAdding: (adding: boolean) => void;
}

/** Another cylinder for a machine that is known. */
const AddCylinder = ({ onNeedles }: { readonly onNeedles: (needles: number) => Promise<void> }) => {
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const add = async (): Promise<void> => {
    const parsed = parseNeedles(text);
    if ('sentence' in parsed) {
      setProblem(parsed.sentence);
      return;
    }
    try {
      await onNeedles(parsed.needles);
      setText('');
      setProblem(null);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <details>
      <summary>Another cylinder</summary>
      <div className="stack">
        <TextField label="Its needles" inputMode="numeric" value={text} onChange={setText} />
        {problem && (
          <p className="problem" role="alert">
            {problem}
          </p>
        )}
        <button type="button" className="button" onClick={() => void add()}>
          Add this cylinder
        </button>
      </div>
    </details>
  );
};

/** Which machine the swatch came off, and how many needles its cylinder has. */
export const MachinePart = ({ storage, machines, machineId, needles, onChange, onAdding }: Props) => {
  const cylinderId = useId();
  const [name, setName] = useState('');
  const [newNeedles, setNewNeedles] = useState('');
  const machine = machines.find(({ id }) => id === machineId);

  const pick = (id: Id | null): void => {
    const [only, ...more] = machines.find((candidate) => candidate.id === id)?.cylinderNeedles ?? [];
    onChange({ machineId: id, cylinderNeedles: more.length === 0 ? (only ?? null) : null });
  };
  const add = async (): Promise<string | null> => {
    if (name.trim() === '') return 'The machine needs a name: type what you call it.';
    const parsed = parseNeedles(newNeedles);
    if ('sentence' in parsed) return parsed.sentence;
    const made = { ...blankMachine(name.trim()), cylinderNeedles: [parsed.needles] };
    await storage.machines.save(made);
    onChange({ machineId: made.id, cylinderNeedles: parsed.needles });
    setName('');
    setNewNeedles('');
    return null;
  };
  const addCylinder = async (known: Machine, count: number): Promise<void> => {
    const cylinderNeedles = [...new Set([...known.cylinderNeedles, count])].sort((a, b) => a - b);
    await storage.machines.save({ ...known, cylinderNeedles });
    onChange({ cylinderNeedles: count });
  };

  return (
    <div className="stack">
      <PickOrAdd
        label="Machine"
        noneName="No machine named"
        addName="A new machine…"
        addAction="Add this machine"
        options={machines}
        chosen={machineId}
        onPick={pick}
        onAdd={add}
        onAdding={onAdding}
      >
        <TextField label="Name of the machine" value={name} onChange={setName} />
        <TextField
          label="Needles of its cylinder"
          inputMode="numeric"
          value={newNeedles}
          onChange={setNewNeedles}
        />
      </PickOrAdd>
      {machine && (
        <>
          <div className="field">
            <label htmlFor={cylinderId}>Cylinder</label>
            <select
              id={cylinderId}
              value={needles ?? ''}
              onChange={({ target }) =>
                onChange({ cylinderNeedles: target.value === '' ? null : Number(target.value) })
              }
            >
              <option value="">Not said</option>
              {[...new Set([...machine.cylinderNeedles, ...(needles === null ? [] : [needles])])].map(
                (count) => (
                  <option key={count} value={count}>
                    {count} needles
                  </option>
                ),
              )}
            </select>
          </div>
          <AddCylinder onNeedles={(count) => addCylinder(machine, count)} />
        </>
      )}
    </div>
  );
};
