import type { GridDoubt } from '../../../domain/gridDoubt';
import type { ScaleDoubt } from '../../../domain/scaleDoubt';
import { formatDecimals } from '../../../domain/units';
import { lengthWords } from '../../../ui/stepWords';

interface DoubtProps {
  readonly doubt: GridDoubt;
  readonly pitchMm: number;
  /** Takes the spacing, whether it is the same or the other one. */
  readonly onPitch: (mm: number) => void;
}

const perInch = (value: number): string => `${formatDecimals(value, 1)} stitches per inch`;

/** Asks once more whether a grid has inches or centimetres when its gauge is one that no sock machine knits. */
export const UnitDoubt = ({ doubt, pitchMm, onPitch }: DoubtProps) => (
  <div className="note note--warn stack-tight" role="alert">
    <p>{doubt.sentence}</p>
    <div className="row">
      {doubt.otherIsLikely && (
        <button type="button" className="button button--primary" onClick={() => onPitch(doubt.otherPitchMm)}>
          {lengthWords(doubt.otherPitchMm)}: {perInch(doubt.otherStitchesPerInch)}
        </button>
      )}
      <button type="button" className="button" onClick={() => onPitch(pitchMm)}>
        {lengthWords(pitchMm)} is right
      </button>
    </div>
  </div>
);

/** What speaks against the scale, a sentence each. */
export const ScaleDoubts = ({ doubts }: { readonly doubts: readonly ScaleDoubt[] }) =>
  doubts.length === 0 ? null : (
    <ul className="note note--warn remarks" aria-label="Doubts about the scale">
      {doubts.map(({ kind, sentence }) => (
        <li key={`${kind} ${sentence}`}>{sentence}</li>
      ))}
    </ul>
  );
