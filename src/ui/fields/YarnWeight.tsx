import { useId, useState } from 'react';
import { formatDecimals } from '../../domain/units';
import { texFrom, type YarnNumber, yarnNumberFrom } from '../../domain/yarn';
import { typedPositive } from './typedPositive';

interface Props {
  /** Grams per kilometre; null when unknown. */
  readonly tex: number | null;
  /** True for the numbers of cones too, false for what bands of hand-knitting yarn say. */
  readonly all: boolean;
  readonly onChange: (tex: number | null) => void;
}

const systems: readonly (readonly [YarnNumber, string])[] = [
  ['metresPer100g', 'Metres in 100 g'],
  ['yardsPer50g', 'Yards in 50 g'],
  ['yardsPer100g', 'Yards in 100 g'],
  ['tex', 'Tex (g per km)'],
];
const coneSystems: readonly (readonly [YarnNumber, string])[] = [
  ['metricNumber', 'Nm (m per g)'],
  ['cottonCount', 'Ne (cotton count)'],
];

/** Three digits are more than any band is good for. */
const shown = (tex: number | null, system: YarnNumber): string => {
  if (tex === null) return '';
  const value = yarnNumberFrom(tex, system);
  return formatDecimals(value, value < 10 ? 2 : value < 100 ? 1 : 0);
};

/** The weight of a yarn in whichever way its band says it: each field fills the others. */
export const YarnWeight = ({ tex, all, onChange }: Props) => {
  const id = useId();
  /** What is being typed stands as it was typed; the other fields follow. */
  const [typed, setTyped] = useState<{ readonly system: YarnNumber; readonly text: string } | null>(null);
  const isWrong = typed !== null && typedPositive(typed.text) === undefined;

  const type = (system: YarnNumber, text: string): void => {
    setTyped({ system, text });
    const value = typedPositive(text);
    if (value !== undefined) onChange(value === null ? null : texFrom(system, value));
  };

  return (
    <fieldset>
      <legend className="label">Weight, as the band says it: any one is enough</legend>
      <div className="yarn-weight">
        {[...systems, ...(all ? coneSystems : [])].map(([system, name]) => (
          <div className="field" key={system}>
            <label htmlFor={`${id}-${system}`}>{name}</label>
            <input
              id={`${id}-${system}`}
              inputMode="decimal"
              autoComplete="off"
              value={typed?.system === system ? typed.text : shown(tex, system)}
              aria-invalid={isWrong && typed?.system === system}
              aria-describedby={isWrong ? `${id}-problem` : undefined}
              onChange={(event) => type(system, event.target.value)}
            />
          </div>
        ))}
      </div>
      {isWrong && (
        <p id={`${id}-problem`} className="problem" role="alert">
          A weight is a number above zero, such as 420.
        </p>
      )}
    </fieldset>
  );
};
