import { useEffect, useRef, useState } from 'react';
import type { ScaleReference } from '../../../domain/measurement';
import type { NamedReference } from '../../../domain/records';
import { patternDoubt } from '../../../domain/rulerScale';
import { LengthForm } from '../../../ui/fields/LengthForm';
import { lengthWords, stepWords } from '../../../ui/stepWords';
import type { Ask } from './words';

interface Props {
  readonly ask: Ask;
  readonly reference: ScaleReference;
  readonly remembered: readonly NamedReference[];
  readonly onConfirm: (stepMm: number, named: NamedReference | null) => void;
}

interface Doubted {
  readonly stepMm: number;
  readonly named: NamedReference | null;
  readonly sentence: string;
}

/** Asks for one length: the spacing of lines or marks, or between two points. What a ruler's longer marks speak against is asked once more. */
export const LengthQuestion = ({ ask, reference, remembered, onConfirm }: Props) => {
  const [doubted, setDoubted] = useState<Doubted | null>(null);
  const doubt = useRef<HTMLDivElement>(null);
  // On a small screen it would stand out of sight.
  useEffect(() => {
    if (doubted) doubt.current?.scrollIntoView?.({ block: 'nearest' });
  }, [doubted]);
  const answer = (stepMm: number, named: NamedReference | null): void => {
    const sentence = patternDoubt(reference.longMarkEvery ?? null, stepMm);
    if (sentence === null) onConfirm(stepMm, named);
    else setDoubted({ stepMm, named, sentence });
  };
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
          onClick={() => answer(named.pitchMm ?? 0, named)}
        >
          It is {named.name}: {(named.kind === 'grid' ? stepWords : lengthWords)(named.pitchMm ?? 0)}
        </button>
      ))}
      {ask.choices.length > 0 && (
        <div className="row question-choices">
          {ask.choices.map(({ label, mm }) => (
            <button
              key={label}
              type="button"
              className={`button${mine.length === 0 ? ' button--primary' : ''}`}
              onClick={() => answer(mm, null)}
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
        onLength={(mm) => answer(mm, null)}
      />
      {doubted && (
        <div ref={doubt} className="note note--warn stack-tight" role="alert">
          <p>{doubted.sentence}</p>
          <button type="button" className="button" onClick={() => onConfirm(doubted.stepMm, doubted.named)}>
            Keep {lengthWords(doubted.stepMm)}
          </button>
        </div>
      )}
    </fieldset>
  );
};
