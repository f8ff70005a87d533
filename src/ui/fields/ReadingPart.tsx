import { type FormEvent, type Ref, useEffect, useId, useImperativeHandle, useRef, useState } from 'react';
import { evaluateReading, type Repeatability } from '../../domain/caliper';
import { readingCautions } from '../../domain/caliperCautions';
import { type CaliperSlip, findSlip, type TypedRepeat } from '../../domain/caliperSlip';
import { parseCaliper } from '../../domain/caliperText';
import type { CaliperReading, Jaw } from '../../domain/records';
import { formatLength, formatUncertainLength } from '../../domain/units';
import { FieldProblem } from './FieldProblem';
import './reading.css';

type Unit = CaliperReading['unit'];

/** Lets the Save button take in what is typed and not added yet. */
export interface ReadingHandle {
  /** Adds what stands in the field. @returns false when it could not be added; the reason then shows. */
  readonly settle: () => { readonly repeats: readonly TypedRepeat[]; readonly unit: Unit } | null;
}

interface Props {
  readonly ref?: Ref<ReadingHandle>;
  readonly repeats: readonly TypedRepeat[];
  readonly unit: Unit;
  readonly jaw: Jaw;
  readonly onChange: (repeats: readonly TypedRepeat[], unit: Unit) => void;
  /** What the first repeat is called where there is more than one reading on the page. */
  readonly label?: string;
  /** Scatter learnt from earlier readings of the landmark. */
  readonly known?: Repeatability | null;
}

const mostRepeats = 9;

const Summary = ({ repeats, unit, jaw, known = null }: Pick<Props, 'repeats' | 'unit' | 'jaw' | 'known'>) => {
  if (repeats.length === 0) return null;
  const { meanMm, spreadMm, plusMinus95Mm } = evaluateReading(
    { landmarkId: null, unit, repeats },
    jaw,
    known,
  );
  return (
    <p className="reading-summary" data-testid="reading-summary">
      <strong>{formatUncertainLength(meanMm, plusMinus95Mm, unit)}</strong>{' '}
      <span className="small soft">
        {repeats.length === 1
          ? 'one reading; two more would show how well it repeats'
          : `mean of ${repeats.length}, spread ${formatLength(spreadMm, unit)}`}
      </span>
    </p>
  );
};

/** The caliper reading with its repeats; a slip of the hand is questioned before it counts. */
export const ReadingPart = (props: Props) => {
  const { ref, repeats, unit, jaw, onChange, label = 'The caliper shows', known = null } = props;
  const id = useId();
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [slip, setSlip] = useState<{ slip: CaliperSlip; repeat: TypedRepeat } | null>(null);
  const question = useRef<HTMLDivElement>(null);
  // On a small screen the question would stand below the edge of the panel.
  useEffect(() => {
    if (slip) question.current?.scrollIntoView?.({ block: 'nearest' });
  }, [slip]);

  const take = (repeat: TypedRepeat, inUnit: Unit) => {
    const next = { repeats: [...repeats, repeat], unit: inUnit };
    onChange(next.repeats, next.unit);
    setText('');
    setSlip(null);
    setProblem(null);
    return next;
  };
  const add = () => {
    const parsed = parseCaliper(text, unit);
    if (!parsed.ok) {
      setProblem(parsed.sentence);
      return null;
    }
    const repeat = { typed: text.trim(), mm: parsed.mm };
    // The first reading's own unit is the one that all are shown in.
    const inUnit: Unit = repeats.length > 0 ? unit : parsed.unit === 'in' ? 'in' : 'mm';
    const found = findSlip(repeats, repeat, inUnit, known);
    if (found) {
      setSlip({ slip: found, repeat });
      return null;
    }
    return take(repeat, inUnit);
  };
  useImperativeHandle(ref, () => ({ settle: () => (text.trim() === '' ? { repeats, unit } : add()) }));

  return (
    <form
      className="stack"
      noValidate
      aria-label={props.label ? `Caliper reading: ${props.label}` : 'Caliper reading'}
      onSubmit={(event: FormEvent) => {
        event.preventDefault();
        add();
      }}
    >
      <ul className="note note--warn small">
        {readingCautions(jaw).map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <Summary repeats={repeats} unit={unit} jaw={jaw} known={known} />
      {repeats.length > 0 && (
        <ol className="repeats" aria-label="Repeats">
          {repeats.map((repeat, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: repeats may be equal; their place is all that tells them apart.
            <li key={index}>
              <button
                type="button"
                className="button"
                aria-label={`Remove ${repeat.typed}`}
                onClick={() =>
                  onChange(
                    repeats.filter((_, other) => other !== index),
                    unit,
                  )
                }
              >
                {repeat.typed} <span aria-hidden="true">×</span>
              </button>
            </li>
          ))}
        </ol>
      )}
      {repeats.length >= mostRepeats ? (
        <p className="small">Nine repeats are plenty.</p>
      ) : (
        <>
          <div className="field">
            <label htmlFor={id}>
              {repeats.length === 0 ? label : `Measured again, number ${repeats.length + 1}`}
            </label>
            <div className="reading-row">
              <input
                id={id}
                value={text}
                inputMode="text"
                autoComplete="off"
                placeholder={unit === 'in' ? '0.987 or 1 1/8' : '28.91'}
                aria-invalid={problem !== null}
                aria-describedby={problem ? `${id}-problem` : undefined}
                onChange={(event) => {
                  setText(event.target.value);
                  setProblem(null);
                  setSlip(null);
                }}
              />
              <fieldset className="choices" aria-label="Unit">
                {(['mm', 'in'] as const).map((one) => (
                  <button
                    key={one}
                    type="button"
                    aria-pressed={one === unit}
                    disabled={repeats.length > 0}
                    onClick={() => onChange(repeats, one)}
                  >
                    {one}
                  </button>
                ))}
              </fieldset>
              <button type="submit" className="button" disabled={text.trim() === ''}>
                Add
              </button>
            </div>
          </div>
          <FieldProblem id={`${id}-problem`} sentence={problem} />
          {slip && (
            <div className="note note--problem" role="alert" ref={question}>
              <p>{slip.slip.sentence}</p>
              <div className="row">
                <button
                  type="button"
                  className="button"
                  onClick={() => {
                    setSlip(null);
                    setText('');
                  }}
                >
                  I measure again
                </button>
                <button
                  type="button"
                  className="button button--quiet"
                  onClick={() => take(slip.repeat, unit)}
                >
                  It is right, keep it
                </button>
              </div>
            </div>
          )}
        </>
      )}
    </form>
  );
};
