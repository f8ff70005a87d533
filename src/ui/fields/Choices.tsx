import type { ReactNode } from 'react';

interface Props<T> {
  readonly label: string;
  readonly options: readonly (readonly [value: T, name: ReactNode])[];
  readonly chosen: T;
  readonly onChoose: (value: T) => void;
  readonly hint?: string;
}

/** A few choices side by side, one of which is pressed. */
export const Choices = <T extends string | number | null>({
  label,
  options,
  chosen,
  onChoose,
  hint,
}: Props<T>) => (
  <fieldset className="field">
    <legend className="label">{label}</legend>
    <div className="choices">
      {options.map(([value, name]) => (
        <button
          key={String(value)}
          type="button"
          aria-pressed={value === chosen}
          onClick={() => onChoose(value)}
        >
          {name}
        </button>
      ))}
    </div>
    {hint && <p className="small soft">{hint}</p>}
  </fieldset>
);
