import { type FormEvent, useId, useState } from 'react';
import { parseLength } from '../../../domain/lengthText';
import { measuredStep } from '../../../domain/measuredStep';
import { formatLength } from '../../../domain/units';
import { FieldProblem } from '../../../ui/fields/FieldProblem';
import './checkRulers.css';

interface Props {
  readonly pitchMm: number;
  readonly onMeasured: (pitchMm: number) => void;
}

/** How many spacings are measured together, unless she measures others. */
const usualCount = 5;

/** What the lines of a mat really measure: optional, for a mat that is not quite true. */
export const MeasuredMat = ({ pitchMm, onMeasured }: Props) => {
  const id = useId();
  const [count, setCount] = useState(String(usualCount));
  const [together, setTogether] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const submit = (event: FormEvent): void => {
    event.preventDefault();
    const parsed = parseLength(together, 'mm');
    if (!parsed.ok) {
      setProblem(parsed.sentence);
      return;
    }
    try {
      const stepMm = measuredStep(pitchMm, Number(count), parsed.mm);
      setProblem(null);
      setTogether('');
      onMeasured(stepMm);
    } catch (cause) {
      setProblem(cause instanceof Error ? cause.message : String(cause));
    }
  };
  return (
    <details>
      <summary>Is the mat true?</summary>
      <div className="stack">
        <p className="small soft">
          Printed mats can be a few thousandths off. Measure several spacings in a row, from line middle to
          line middle; mind the caliper’s sharp points.
        </p>
        <form className="check-rulers" onSubmit={submit} noValidate>
          <div className="field">
            <label htmlFor={`${id}-count`}>So many spacings</label>
            <input
              id={`${id}-count`}
              value={count}
              inputMode="numeric"
              autoComplete="off"
              onChange={(event) => {
                setCount(event.target.value);
                setProblem(null);
              }}
            />
          </div>
          <div className="field">
            <label htmlFor={`${id}-together`}>measure together</label>
            <input
              id={`${id}-together`}
              value={together}
              placeholder={formatLength(usualCount * pitchMm, 'mm')}
              autoComplete="off"
              aria-invalid={problem !== null}
              aria-describedby={problem ? `${id}-problem` : undefined}
              onChange={(event) => {
                setTogether(event.target.value);
                setProblem(null);
              }}
            />
          </div>
          <button type="submit" className="button" disabled={!count.trim() || !together.trim()}>
            Use what I measured
          </button>
          <FieldProblem id={`${id}-problem`} sentence={problem} />
        </form>
      </div>
    </details>
  );
};
