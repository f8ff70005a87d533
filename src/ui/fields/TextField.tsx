import { useId } from 'react';

interface Props {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly inputMode?: 'text' | 'numeric';
  readonly hint?: string;
}

/** One line of text with its label above it. */
export const TextField = ({ label, value, onChange, inputMode = 'text', hint }: Props) => {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        value={value}
        inputMode={inputMode}
        autoComplete="off"
        aria-describedby={hint ? `${id}-hint` : undefined}
        onChange={(event) => onChange(event.target.value)}
      />
      {hint && (
        <p id={`${id}-hint`} className="small soft">
          {hint}
        </p>
      )}
    </div>
  );
};
