import { useId } from 'react';
import type { CylinderDraft } from './profileDraft';

interface Props {
  readonly cylinders: readonly CylinderDraft[];
  readonly mounted: number | null;
  readonly onChange: (cylinders: readonly CylinderDraft[]) => void;
  readonly onMounted: (key: number) => void;
}

/** The cylinders of a machine: needles, diameter, and which one is on it now. */
export const CylinderFields = ({ cylinders, mounted, onChange, onMounted }: Props) => {
  const id = useId();
  const patch = (key: number, change: Partial<CylinderDraft>): void =>
    onChange(cylinders.map((one) => (one.key === key ? { ...one, ...change } : one)));
  const nextKey = Math.max(-1, ...cylinders.map(({ key }) => key)) + 1;
  return (
    <fieldset className="stack">
      <legend className="label">Cylinders</legend>
      <ul className="cylinders">
        {cylinders.map(({ key, needles, diameter }, index) => (
          <li key={key}>
            <div className="field">
              <label htmlFor={`${id}-n${key}`}>Needles</label>
              <input
                id={`${id}-n${key}`}
                value={needles}
                inputMode="numeric"
                autoComplete="off"
                placeholder="72"
                onChange={(event) => patch(key, { needles: event.target.value })}
              />
            </div>
            <div className="field">
              <label htmlFor={`${id}-d${key}`}>Diameter</label>
              <input
                id={`${id}-d${key}`}
                value={diameter}
                autoComplete="off"
                placeholder="4 1/2 in"
                onChange={(event) => patch(key, { diameter: event.target.value })}
              />
            </div>
            <label className="tick">
              <input
                type="radio"
                name={`${id}-mounted`}
                checked={mounted === key || (cylinders.length === 1 && mounted === null)}
                onChange={() => onMounted(key)}
              />
              <span>Mounted now</span>
            </label>
            {cylinders.length > 1 && (
              <button
                type="button"
                className="button button--quiet"
                aria-label={`Remove cylinder ${index + 1}${needles && `, ${needles} needles`}`}
                onClick={() => onChange(cylinders.filter((one) => one.key !== key))}
              >
                Remove
              </button>
            )}
          </li>
        ))}
      </ul>
      <div className="row">
        <button
          type="button"
          className="button"
          onClick={() => onChange([...cylinders, { key: nextKey, needles: '', diameter: '' }])}
        >
          Another cylinder
        </button>
      </div>
    </fieldset>
  );
};
