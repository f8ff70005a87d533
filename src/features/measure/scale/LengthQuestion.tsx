import type { ScaleReference } from '../../../domain/measurement';
import type { NamedReference } from '../../../domain/records';
import { LengthForm } from '../../../ui/fields/LengthForm';
import { type Ask, lengthWords } from './words';

interface Props {
  readonly ask: Ask;
  readonly reference: ScaleReference;
  readonly remembered: readonly NamedReference[];
  readonly onConfirm: (stepMm: number, named: NamedReference | null) => void;
}

/** Asks for one length: the spacing of lines or marks, or between two points. */
export const LengthQuestion = ({ ask, reference, remembered, onConfirm }: Props) => {
  const mine = remembered
    .filter((named) => named.kind === reference.kind && named.pitchMm !== null)
    .sort((a, b) => b.lastUsedAt.localeCompare(a.lastUsedAt));
  return (
    <fieldset className="stack question">
      <legend>{ask.question}</legend>
      {mine.map((named) => (
        <button
          key={named.id}
          type="button"
          className="button button--primary"
          onClick={() => onConfirm(named.pitchMm ?? 0, named)}
        >
          It is {named.name}: {lengthWords(named.pitchMm ?? 0)}
        </button>
      ))}
      {ask.choices.length > 0 && (
        <div className="row question-choices">
          {ask.choices.map(({ label, mm }) => (
            <button
              key={label}
              type="button"
              className={`button${mine.length === 0 ? ' button--primary' : ''}`}
              onClick={() => onConfirm(mm, null)}
            >
              {label}
            </button>
          ))}
        </div>
      )}
      <LengthForm
        label={ask.choices.length > 0 ? 'Another length' : 'Length'}
        example={ask.example}
        action="Use this"
        onLength={(mm) => onConfirm(mm, null)}
      />
    </fieldset>
  );
};
