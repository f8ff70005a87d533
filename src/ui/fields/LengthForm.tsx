import { type FormEvent, useId, useState } from 'react';
import { parseLength } from '../../domain/lengthText';
import { FieldProblem } from './FieldProblem';

interface Props {
  readonly label: string;
  /** What may be typed, shown while the field is empty. */
  readonly example: string;
  readonly action: string;
  /** A positive length in mm. */
  readonly onLength: (mm: number) => void;
}

/** One typed length with its unit, and a button that takes it. A text that is no length says why and changes nothing. */
export const LengthForm = ({ label, example, action, onLength }: Props) => {
  const id = useId();
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);

  const submit = (event: FormEvent): void => {
    event.preventDefault();
    const parsed = parseLength(text, null);
    if (!parsed.ok) {
      setProblem(parsed.sentence);
      return;
    }
    setProblem(null);
    setText('');
    onLength(parsed.mm);
  };

  return (
    <form className="field" onSubmit={submit} noValidate>
      <label htmlFor={id}>{label}</label>
      <div className="field-row">
        <input
          id={id}
          value={text}
          placeholder={example}
          inputMode="text"
          autoComplete="off"
          aria-invalid={problem !== null}
          aria-describedby={problem ? `${id}-problem` : undefined}
          onChange={(event) => {
            setText(event.target.value);
            setProblem(null);
          }}
        />
        <button type="submit" className="button" disabled={text.trim() === ''}>
          {action}
        </button>
      </div>
      <FieldProblem id={`${id}-problem`} sentence={problem} />
    </form>
  );
};
