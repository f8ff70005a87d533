import { useId, useState } from 'react';
import { formatDecimals } from '../../domain/units';
import { yarnNumberFrom } from '../../domain/yarn';
import { texHintFromWraps } from '../../domain/yarnWraps';
import { typedPositive } from './typedPositive';

interface Props {
  readonly wrapsPerInch: number | null;
  readonly onChange: (wrapsPerInch: number | null) => void;
}

/** Two digits: a hint is no better than that. */
const rough = (value: number): string => formatDecimals(Number(value.toPrecision(2)), 0);

const hintOf = (wrapsPerInch: number): string => {
  const { from, to } = texHintFromWraps(wrapsPerInch);
  const metres = [to, from].map((tex) => rough(yarnNumberFrom(tex, 'metresPer100g')));
  return `That hints at ${rough(from)} to ${rough(to)} tex, ${metres.join(' to ')} m in 100 g. It is only a hint: wraps depend on how tight they are wound.`;
};

/** Wraps per inch, for a yarn that has lost its band; never turned into a weight by itself. */
export const YarnWraps = ({ wrapsPerInch, onChange }: Props) => {
  const id = useId();
  const [text, setText] = useState(wrapsPerInch === null ? '' : String(wrapsPerInch));
  const typed = typedPositive(text);
  return (
    <div className="field">
      <label htmlFor={id}>Wraps per inch, if the band is lost</label>
      <input
        id={id}
        inputMode="decimal"
        autoComplete="off"
        value={text}
        aria-invalid={typed === undefined}
        aria-describedby={`${id}-hint`}
        onChange={(event) => {
          setText(event.target.value);
          const value = typedPositive(event.target.value);
          if (value !== undefined) onChange(value);
        }}
      />
      <p id={`${id}-hint`} className={typed === undefined ? 'problem' : 'small soft'} aria-live="polite">
        {typed === undefined
          ? 'Wraps are a number above zero, such as 16.'
          : typed === null
            ? null
            : hintOf(typed)}
      </p>
    </div>
  );
};
