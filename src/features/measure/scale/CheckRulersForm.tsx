import { type FormEvent, useId, useState } from 'react';
import { parseLength } from '../../../domain/lengthText';
import { checkLengthMm, type PrintScale, printScaleFrom } from '../../../domain/referenceSheet';
import './checkRulers.css';

const fields = [
  ['across', 'Check ruler across'],
  ['along', 'Check ruler along'],
] as const;

const scaleIn = (typed: Readonly<Record<'across' | 'along', string>>): PrintScale => {
  const [across, along] = fields.map(([field, label]) => {
    const parsed = parseLength(typed[field], 'mm');
    if (!parsed.ok) throw new RangeError(`${label}: ${parsed.sentence}`);
    return parsed.mm;
  });
  return printScaleFrom(across ?? 0, along ?? 0);
};

/** What both check rulers of a printed sheet really measure. A text that is no such length says why and changes nothing. */
export const CheckRulersForm = ({ onPrint }: { readonly onPrint: (print: PrintScale) => void }) => {
  const id = useId();
  const [typed, setTyped] = useState({ across: '', along: '' });
  const [problem, setProblem] = useState<string | null>(null);
  const submit = (event: FormEvent): void => {
    event.preventDefault();
    try {
      const print = scaleIn(typed);
      setProblem(null);
      onPrint(print);
    } catch (cause) {
      setProblem(cause instanceof Error ? cause.message : String(cause));
    }
  };
  return (
    <form className="check-rulers" onSubmit={submit} noValidate>
      {fields.map(([field, label]) => (
        <div key={field} className="field">
          <label htmlFor={`${id}-${field}`}>{label}</label>
          <input
            id={`${id}-${field}`}
            value={typed[field]}
            placeholder={`${checkLengthMm}.0 mm`}
            autoComplete="off"
            aria-invalid={problem !== null}
            aria-describedby={problem ? `${id}-problem` : undefined}
            onChange={(event) => {
              setTyped({ ...typed, [field]: event.target.value });
              setProblem(null);
            }}
          />
        </div>
      ))}
      <button type="submit" className="button" disabled={!typed.across.trim() || !typed.along.trim()}>
        Use what I measured
      </button>
      {problem && (
        <p id={`${id}-problem`} className="problem" role="alert">
          {problem}
        </p>
      )}
    </form>
  );
};
