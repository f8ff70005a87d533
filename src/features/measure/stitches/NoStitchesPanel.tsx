import type { LineFamily } from '../../../domain/grid';

interface Props {
  /** Why nothing was found, if that is known. */
  readonly reason: string | null;
  readonly family: LineFamily;
  readonly onFamily: (family: LineFamily) => void;
  readonly onSeeds: () => void;
  readonly onByHand: () => void;
  readonly onRegion: () => void;
}

/** No stitches were found: three ways on, the easiest first. */
export const NoStitchesPanel = ({ reason, family, onFamily, onSeeds, onByHand, onRegion }: Props) => (
  <div className="stack">
    <p>
      <strong>No stitches were found by themselves.</strong> {reason}
    </p>
    <p>Tap two neighbouring columns and two rows, and the rest grows from there.</p>
    <div className="row">
      <button type="button" className="button button--primary" onClick={onSeeds}>
        Tap columns and rows
      </button>
      <button type="button" className="button" onClick={onRegion}>
        Say where to look
      </button>
    </div>
    <details>
      <summary>Place every line by hand</summary>
      <div className="stack">
        <fieldset className="choices">
          <legend className="visually-hidden">Which lines to place</legend>
          <button type="button" aria-pressed={family === 'wale'} onClick={() => onFamily('wale')}>
            Columns
          </button>
          <button type="button" aria-pressed={family === 'course'} onClick={() => onFamily('course')}>
            Rows
          </button>
        </fieldset>
        <button type="button" className="button" onClick={onByHand}>
          Place a {family === 'wale' ? 'column' : 'row'}
        </button>
      </div>
    </details>
  </div>
);
