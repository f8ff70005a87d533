import { useId, useState } from 'react';
import type { CamSelected, CamSelection } from '../../../domain/camFitRecords';
import {
  decimalsFor,
  formatDecimals,
  formatLength,
  per10CmToPerMm,
  perInchToPerMm,
} from '../../../domain/units';
import type { CamFits } from '../../../store/machineKnowledge';
import type { CamTarget } from '../../../store/machineTarget';
import { answerWish, type WishAnswer } from '../../../store/machineWish';
import type { OpenMachine } from '../openMachine';
import { lengthWords, perInch, rangeWords, yarnName } from '../words';

interface Props {
  readonly open: OpenMachine;
  readonly selection: CamSelection;
  readonly selected: CamSelected & { readonly kind: 'ready' };
  readonly fits: CamFits;
  /** The wanted stitches per mm as they are typed; null for none. */
  readonly onWish?: (walesPerMm: number | null) => void;
  readonly onTarget: (target: CamTarget) => void;
}

type Per = 'inch' | '10 cm';

const typedWish = (text: string, per: Per): number | null | undefined => {
  if (text.trim() === '') return null;
  const value = Number(text.trim().replace(',', '.'));
  if (!(value > 0)) return undefined;
  const perMm = per === 'inch' ? perInchToPerMm(value) : per10CmToPerMm(value);
  // Stitches between 0.5 mm and 25 mm wide; anything else is a slip of the hand or of the unit.
  return perMm > 0.04 && perMm < 2 ? perMm : undefined;
};

/** A range that reaches this much further to one side than to the other is not one ± about the value. */
const LOPSIDED = 1.15;

/** The reading with its ±, or without one where the range lies lopsided about it; the range is said beside it. */
const readingWords = (
  { readingMm, lowerMm, upperMm }: { readingMm: number; lowerMm: number; upperMm: number },
  unit: 'mm' | 'in',
): string => {
  const [short, long] = [upperMm - readingMm, readingMm - lowerMm].sort((a, b) => a - b) as [number, number];
  return long > LOPSIDED * short ? formatLength(readingMm, unit) : lengthWords(readingMm, long, unit);
};

/** "11.0 (10.8 to 11.3)": rows per inch at the setting. */
const rowsWords = ({ pitchMm, lowerMm, upperMm }: { pitchMm: number; lowerMm: number; upperMm: number }) => {
  if (!(lowerMm > 0)) return `about ${formatDecimals(perInch(pitchMm), 1)} rows per inch there`;
  const decimals = Math.max(1, decimalsFor((perInch(lowerMm) - perInch(upperMm)) / 2));
  const shown = (mm: number): string => formatDecimals(perInch(mm), decimals);
  return `${shown(pitchMm)} rows per inch there (${shown(upperMm)} to ${shown(lowerMm)})`;
};

const fewSwatches = ({ wales }: CamFits): boolean =>
  wales.kind === 'fit' && (wales.degreesOfFreedom < 3 || wales.points.length < 3);

const Answer = ({ open, fits, answer }: Pick<Props, 'open' | 'fits'> & { readonly answer: WishAnswer }) => {
  const { unit } = open.knowledge;
  if (answer.kind === 'nothing') return <p className="note">{answer.sentence}</p>;
  if (answer.kind === 'elsewhere') {
    const { starting } = answer;
    return (
      <div className="figures">
        <p className="note">{answer.sentence}</p>
        {starting.kind === 'reading' && (
          <>
            <p>
              <strong>about {formatLength(starting.readingMm, unit)}</strong>
              {starting.toMm > starting.fromMm && (
                <span>{rangeWords(starting.fromMm, starting.toMm, unit)} with other yarns</span>
              )}
            </p>
            <p className="small">{starting.sentence}</p>
            {starting.cautions.map((caution) => (
              <p key={caution} className="note note--warn small">
                {caution}
              </p>
            ))}
          </>
        )}
      </div>
    );
  }
  const cautions =
    answer.kind === 'reading'
      ? [...new Set([...answer.target.cautions, ...(answer.target.rows?.cautions ?? [])])]
      : answer.cautions;
  return (
    <div className="figures">
      {answer.kind === 'reading' ? (
        <>
          <p data-testid="wish-reading">
            <strong>{readingWords(answer.target, unit)}</strong>
            <span>is the reading to set</span>
          </p>
          <p className="small">
            The right setting lies there in 95 of 100 cases:{' '}
            {rangeWords(answer.target.lowerMm, answer.target.upperMm, unit)}.
          </p>
          {answer.target.rows && (
            <p className="small">{rowsWords(answer.target.rows)}; rows follow the stitches.</p>
          )}
        </>
      ) : (
        <>
          <p data-testid="wish-reading">
            <strong>about {formatLength(answer.readingMm, unit)}</strong>
            <span>is where the line leads</span>
          </p>
          <p className="note note--warn small">{answer.sentence}</p>
        </>
      )}
      {fewSwatches(fits) && <p className="small">One more swatch of this yarn narrows it.</p>}
      {cautions.map((caution) => (
        <p key={caution} className="note note--warn small">
          {caution}
        </p>
      ))}
    </div>
  );
};

const targetOf = (answer: WishAnswer): Pick<CamTarget, 'targetMm' | 'toleranceMm' | 'cautions'> | null => {
  if (answer.kind === 'nothing') return null;
  if (answer.kind === 'reading') {
    const { readingMm, toleranceMm, cautions } = answer.target;
    return { targetMm: readingMm, toleranceMm, cautions };
  }
  if (answer.kind === 'lineOnly') {
    const guess = 'The swatches do not tell yet how sure this setting is: knit a small swatch there first.';
    return {
      targetMm: answer.readingMm,
      toleranceMm: answer.toleranceMm,
      cautions: [guess, ...answer.cautions],
    };
  }
  const { starting, toleranceMm } = answer;
  return starting.kind === 'none'
    ? null
    : {
        targetMm: starting.readingMm,
        toleranceMm,
        cautions: ['A place to begin, from other yarns: knit a swatch there.', ...starting.cautions],
      };
};

/** A wanted gauge, the reading that should give it, and the way there. */
export const GaugeWish = (props: Props) => {
  const { open, selection, selected, fits, onWish, onTarget } = props;
  const id = useId();
  const [text, setText] = useState('');
  const [per, setPer] = useState<Per>('inch');
  const wish = typedWish(text, per);
  const answer = wish ? answerWish(selected, fits, wish, open.knowledge.unit) : null;
  const target = answer && targetOf(answer);
  const type = (next: string, nextPer: Per): void => {
    setText(next);
    setPer(nextPer);
    onWish?.(typedWish(next, nextPer) ?? null);
  };
  const goal = `${yarnName(open.yarns, selection.yarnId)} at ${text.trim().replace(',', '.')} stitches per ${per}`;
  return (
    <div className="machine-card stack">
      <div className="field">
        <label htmlFor={id}>Wanted stitches</label>
        <div className="wish-row">
          <input
            id={id}
            value={text}
            inputMode="decimal"
            autoComplete="off"
            aria-invalid={wish === undefined}
            aria-describedby={wish === undefined ? `${id}-problem` : undefined}
            onChange={(event) => type(event.target.value, per)}
          />
          <fieldset className="choices" aria-label="Stitches per">
            {(['inch', '10 cm'] as const).map((one) => (
              <button key={one} type="button" aria-pressed={one === per} onClick={() => type(text, one)}>
                per {one}
              </button>
            ))}
          </fieldset>
        </div>
      </div>
      {wish === undefined && (
        <p id={`${id}-problem`} className="problem" role="alert">
          Type the stitches as a number, such as 8.1 per inch or 32 per 10 cm.
        </p>
      )}
      <div aria-live="polite">{answer && <Answer open={open} fits={fits} answer={answer} />}</div>
      {target && (
        <div className="row">
          <button
            type="button"
            className="button button--primary"
            onClick={() =>
              onTarget({
                ...target,
                landmarkId: selection.landmarkId,
                swatchId: null,
                goal,
                wantedNeedles: selection.cylinderNeedles,
              })
            }
          >
            Set the cam to it
          </button>
        </div>
      )}
    </div>
  );
};
