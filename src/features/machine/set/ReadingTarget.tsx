import { type FormEvent, useState } from 'react';
import { parseCaliper } from '../../../domain/caliperText';
import type { Id } from '../../../domain/records';
import { usualLandmark } from '../../../store/machineLandmark';
import { type CamTarget, targetOfReading } from '../../../store/machineTarget';
import { SelectField } from '../../../ui/fields/SelectField';
import { TextField } from '../../../ui/fields/TextField';
import type { OpenMachine } from '../openMachine';
import { landmarkWords, unitWords } from '../words';

interface Props {
  readonly open: OpenMachine;
  readonly onTarget: (target: CamTarget) => void;
}

/** A reading from a note of hers, typed. */
export const ReadingTarget = ({ open, onTarget }: Props) => {
  const { knowledge, landmarks } = open;
  const [chosen, setChosen] = useState<Id | null>(null);
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const landmark = landmarks.find(({ id }) => id === chosen) ?? usualLandmark(open);
  if (!landmark) return null;
  const submit = (event: FormEvent): void => {
    event.preventDefault();
    const parsed = parseCaliper(text, knowledge.unit);
    if (!parsed.ok) {
      setProblem(parsed.sentence);
      return;
    }
    const unit = parsed.unit === 'in' ? 'in' : 'mm';
    const typed = { text: text.trim(), mm: parsed.mm, unit } as const;
    const words = /[a-z"]/i.test(typed.text) ? typed.text : `${typed.text} ${parsed.unit}`;
    onTarget(targetOfReading(open, knowledge, landmark.id, typed, `a reading of ${words}`));
  };
  return (
    <form className="stack machine-card" noValidate onSubmit={submit}>
      {landmarks.length > 1 && (
        <SelectField
          label="Measured at"
          value={landmark.id}
          options={landmarks.map((one) => [one.id, landmarkWords(one)] as const)}
          onChange={setChosen}
        />
      )}
      <TextField
        label="The caliper should show"
        value={text}
        onChange={(next) => {
          setText(next);
          setProblem(null);
        }}
        hint={`In ${unitWords[knowledge.unit]} unless you type the unit.`}
      />
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <div className="row">
        <button type="submit" className="button button--primary">
          Set the cam to it
        </button>
      </div>
    </form>
  );
};
