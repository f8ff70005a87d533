import { type FormEvent, type ReactNode, useId, useRef, useState } from 'react';
import type { Id } from '../../../domain/records';
import { FieldProblem } from '../../../ui/fields/FieldProblem';
import { sentenceOf } from '../../../ui/sentenceOf';

interface Props {
  readonly label: string;
  /** "No yarn", "No machine". */
  readonly noneName: string;
  /** "A new yarn…". */
  readonly addName: string;
  /** "Add this yarn". */
  readonly addAction: string;
  readonly options: readonly { readonly id: Id; readonly name: string }[];
  readonly chosen: Id | null;
  readonly onPick: (id: Id | null) => void;
  /** Stores what the form holds and picks it; gives back one sentence when something is missing. */
  readonly onAdd: () => Promise<string | null>;
  /** Told whether the form for a new one stands open. */
  readonly onAdding: (adding: boolean) => void;
  /** The fields of a new one. */
  readonly children: ReactNode;
}

const newOption = '+';

/** A list to pick from, whose last choice opens a form for a new one. */
export const PickOrAdd = (props: Props) => {
  const { label, noneName, addName, addAction, options, chosen, onPick, onAdd, onAdding, children } = props;
  const id = useId();
  const list = useRef<HTMLSelectElement>(null);
  const [adding, setAdding] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);

  const show = (form: boolean): void => {
    setAdding(form);
    setProblem(null);
    onAdding(form);
  };
  const add = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    try {
      const missing = await onAdd();
      setProblem(missing);
      if (missing !== null) return;
      show(false);
      // The form goes away with the button that was pressed: carry on where it stood.
      list.current?.focus();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };

  return (
    <div className="pick-or-add">
      <div className="field">
        <label htmlFor={id}>{label}</label>
        <select
          ref={list}
          id={id}
          value={adding ? newOption : (chosen ?? '')}
          onChange={({ target }) => {
            show(target.value === newOption);
            if (target.value !== newOption) onPick(target.value || null);
          }}
        >
          <option value="">{noneName}</option>
          {options.map((option) => (
            <option key={option.id} value={option.id}>
              {option.name}
            </option>
          ))}
          <option value={newOption}>{addName}</option>
        </select>
      </div>
      {adding && (
        <form className="pick-form" noValidate onSubmit={(event) => void add(event)} aria-label={addName}>
          {children}
          <FieldProblem sentence={problem} />
          <div className="row">
            <button type="submit" className="button">
              {addAction}
            </button>
            <button type="button" className="button button--quiet" onClick={() => show(false)}>
              Never mind
            </button>
          </div>
        </form>
      )}
    </div>
  );
};
