import type { StageSettings } from './stage/CompareStage';
import type { TrueLevel } from './stage/useSheet';

interface Props {
  readonly settings: StageSettings;
  readonly level: TrueLevel;
  readonly onChange: (part: Partial<StageSettings>) => void;
  readonly onLevel: (level: TrueLevel) => void;
  readonly onCorrect: () => void;
}

/** How the pictures lie and what is drawn over them. */
export const Toolbar = ({ settings, level, onChange, onLevel, onCorrect }: Props) => (
  <div className="compare-tools" role="toolbar" aria-label="Pictures">
    <fieldset className="choices">
      <legend className="visually-hidden">How the pictures lie</legend>
      <button
        type="button"
        aria-pressed={settings.layout === 'beside'}
        onClick={() => onChange({ layout: 'beside' })}
      >
        Apart
      </button>
      <button
        type="button"
        aria-pressed={settings.layout === 'wipe'}
        onClick={() => onChange({ layout: 'wipe' })}
      >
        Wipe
      </button>
    </fieldset>
    <button
      type="button"
      className="button"
      aria-pressed={settings.showsLines}
      onClick={() => onChange({ showsLines: !settings.showsLines })}
    >
      Lines
    </button>
    <button type="button" className="button" aria-pressed={settings.correcting} onClick={onCorrect}>
      Correct
    </button>
    <details className="compare-more">
      <summary className="button">View</summary>
      <div className="compare-more-list">
        <fieldset className="choices">
          <legend className="label">Lengths in</legend>
          {(['in', 'cm'] as const).map((unit) => (
            <button
              key={unit}
              type="button"
              aria-pressed={settings.unit === unit}
              onClick={() => onChange({ unit })}
            >
              {unit === 'in' ? 'Inches' : 'Centimetres'}
            </button>
          ))}
        </fieldset>
        <fieldset className="choices">
          <legend className="label">True to size at</legend>
          {(['fabric', 'mat'] as const).map((at) => (
            <button key={at} type="button" aria-pressed={level === at} onClick={() => onLevel(at)}>
              {at === 'fabric' ? 'the fabric' : 'the mat'}
            </button>
          ))}
        </fieldset>
        <label className="tick">
          <input
            type="checkbox"
            checked={settings.showsFrame}
            onChange={(event) => onChange({ showsFrame: event.target.checked })}
          />
          <span>Counting frame</span>
        </label>
      </div>
    </details>
  </div>
);
