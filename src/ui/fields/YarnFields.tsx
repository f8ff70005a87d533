import { useId } from 'react';
import type { Yarn } from '../../domain/records';
import './yarnFields.css';
import { YarnWeight } from './YarnWeight';
import { YarnWraps } from './YarnWraps';

type Words = 'name' | 'maker' | 'fibre' | 'colour' | 'lot';

interface Props {
  readonly yarn: Yarn;
  /** True for everything there is to say, false for what matters when a swatch is saved. */
  readonly all: boolean;
  readonly onChange: (change: Partial<Yarn>) => void;
}

const fields: readonly (readonly [field: Words, label: string, always: boolean])[] = [
  ['name', 'Name of the yarn', true],
  ['fibre', 'Fibre', true],
  ['colour', 'Colour', true],
  ['maker', 'Maker', false],
  ['lot', 'Dye lot', false],
];

/** The fields of a yarn's record. */
export const YarnFields = ({ yarn, all, onChange }: Props) => {
  const id = useId();
  return (
    <div className="yarn-fields">
      {fields
        .filter(([, , always]) => always || all)
        .map(([field, label]) => (
          <div className="field" key={field}>
            <label htmlFor={`${id}-${field}`}>{label}</label>
            <input
              id={`${id}-${field}`}
              value={yarn[field]}
              autoComplete="off"
              onChange={(event) => onChange({ [field]: event.target.value })}
            />
          </div>
        ))}
      <YarnWeight tex={yarn.tex} all={all} onChange={(tex) => onChange({ tex })} />
      {all && (
        <YarnWraps
          wrapsPerInch={yarn.wrapsPerInch ?? null}
          onChange={(wrapsPerInch) => onChange({ wrapsPerInch })}
        />
      )}
      {all && (
        <div className="field">
          <label htmlFor={`${id}-notes`}>Notes on the yarn</label>
          <textarea
            id={`${id}-notes`}
            rows={3}
            value={yarn.notes}
            onChange={(event) => onChange({ notes: event.target.value })}
          />
        </div>
      )}
    </div>
  );
};
