import type { Evenness } from '../../../domain/evenness';
import type { Uncertain } from '../../../domain/gauge';
import type { GaugeResult, NoGauge } from '../../../domain/gaugeOf';
import type { HandCount } from '../../../domain/handCount';
import type { StitchFinding } from '../../../domain/measurement';
import type { GaugeSummary, Swatch } from '../../../domain/records';
import type { ScaleDoubt } from '../../../domain/scaleDoubt';
import { spiralitySentence } from '../../../domain/spirality';
import type { Budget } from '../../../domain/uncertainty';
import { formatDecimals, formatUncertain, uncertainPer10Cm, uncertainPerInch } from '../../../domain/units';
import { Choices } from '../../../ui/fields/Choices';
import type { EvennessMap } from '../overlay/paintEvenness';
import { EvennessPart } from './EvennessPart';
import { gaugeTag } from './tag';

interface Props {
  readonly evenness: Evenness | null;
  readonly map: EvennessMap | null;
  readonly onMap: (map: EvennessMap | null) => void;
  readonly result: GaugeResult | NoGauge | null;
  readonly summary: GaugeSummary | null;
  readonly finding: StitchFinding | null;
  /** Columns and rows that bear a number on the photo, also those that only touch the window. */
  readonly numbered: { readonly wales: number; readonly courses: number };
  readonly hasScale: boolean;
  /** What speaks against the scale in use, most important first. */
  readonly scaleDoubts: readonly ScaleDoubt[];
  /** How far rows are off square to columns, radians. */
  readonly spirality: Uncertain | null;
  /** One layer of fabric or a flattened tube; null where the height was typed, so that it makes no difference. */
  readonly layers: Swatch['layers'] | null;
  readonly onLayers: (layers: Swatch['layers']) => void;
  readonly onScale: () => void;
  readonly onStitches: () => void;
  readonly onNext: () => void;
}

/** Why more lines are numbered on the photo than are counted whole; null when they are as many. */
const touchingSentence = (columns: number, rows: number): string | null => {
  const parts = [
    columns > 0 ? `${columns} more ${columns === 1 ? 'column' : 'columns'}` : '',
    rows > 0 ? `${rows} more ${rows === 1 ? 'row' : 'rows'}` : '',
  ].filter(Boolean);
  if (parts.length === 0) return null;
  return `${parts.join(' and ')} only ${columns + rows === 1 ? 'touches' : 'touch'} its edges.`;
};

const layerNames: readonly (readonly [Swatch['layers'], string])[] = [
  [1, 'One layer'],
  [2, 'A flattened tube'],
];

const text = ({ value, plusMinus95 }: Uncertain): string => formatUncertain(value, plusMinus95);

/** One density: large per inch with its ±, per 10 cm and the count by hand beside it. */
const Figure = ({
  density,
  noun,
  hand,
  tag = null,
}: {
  readonly density: Uncertain;
  readonly noun: string;
  readonly hand: HandCount | null;
  readonly tag?: string | null;
}) => (
  <div className="figure">
    <p className="figure-main">
      <span className="figure-number">{text(uncertainPerInch(density))}</span>{' '}
      <span className="figure-unit">{noun} per inch</span>
      {tag && <span className="tag">{tag}</span>}
    </p>
    <p className="figure-beside">{text(uncertainPer10Cm(density))} per 10 cm</p>
    {hand && (
      <p className="figure-beside">
        {formatDecimals(hand.perInch, 1)} counted over {hand.places.length} one-inch places:{' '}
        {hand.places.map((place) => place.count).join(', ')}
      </p>
    )}
  </div>
);

const BudgetTable = ({ budget, noun }: { readonly budget: Budget; readonly noun: string }) => (
  <table className="budget">
    <caption>{noun}</caption>
    <thead>
      <tr>
        <th scope="col">What adds to the ±</th>
        <th scope="col">Standard uncertainty</th>
      </tr>
    </thead>
    <tbody>
      {budget.components.map((part) => (
        <tr key={part.name}>
          <th scope="row">{part.sentence}</th>
          <td>{formatDecimals(part.standardUncertainty * 100, 2)} %</td>
        </tr>
      ))}
    </tbody>
  </table>
);

const statusSentence = (
  { finding, scaleDoubts }: Pick<Props, 'finding' | 'scaleDoubts'>,
  status: GaugeSummary['status'],
  unevenSteps: number,
): string => {
  if (status === 'byHand') return 'You looked the lines over and found them right.';
  if (unevenSteps > 0) return 'A proposal: a line seems to be missing or marked twice.';
  if (status === 'measured') return 'Measured: the lines are sure to within 1 %.';
  if (finding?.confidence.status !== 'measured')
    return `A proposal: the chance that both numbers are within 1 % is ${Math.floor((finding?.confidence.chance ?? 0) * 100)} %.`;
  return `A proposal: the lines are sure to within 1 %, ${scaleDoubts.length > 0 ? 'the scale is what limits the numbers' : 'but see what is said below'}.`;
};

/** What is in doubt about the scale, with the way to where it is settled. */
const ScalePart = ({ scaleDoubts, onScale }: Pick<Props, 'scaleDoubts' | 'onScale'>) =>
  scaleDoubts.length === 0 ? null : (
    <div className="note note--warn">
      {scaleDoubts.map(({ sentence }) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <div className="row">
        <button type="button" className="button" onClick={onScale}>
          {scaleDoubts.some(({ kind }) => kind === 'checkRulers')
            ? 'Say what the check rulers measure'
            : 'Look at the scale'}
        </button>
      </div>
    </div>
  );

/** The third step: the numbers, what they rest on, and what would make them surer. */
export const GaugePanel = (props: Props) => {
  const { result, summary, finding } = props;
  if (!props.hasScale) {
    return (
      <div className="stack">
        <p>The lines are there, but nothing says yet how long an inch is in this photo.</p>
        <button type="button" className="button button--primary" onClick={props.onScale}>
          Say the scale
        </button>
      </div>
    );
  }
  if (!result?.ok) {
    return (
      <div className="stack">
        <p>{result?.sentence ?? 'Mark the columns and rows first; then the numbers appear here.'}</p>
        <button type="button" className="button button--primary" onClick={props.onStitches}>
          Go to the stitches
        </button>
      </div>
    );
  }
  const status = summary?.status ?? 'proposal';
  const touching = touchingSentence(
    props.numbered.wales - result.counts.wales,
    props.numbered.courses - result.counts.courses,
  );
  const reason = finding?.confidence.reasons[0];
  const hasGaps = result.counts.needlePositions > result.counts.wales;
  return (
    <div className="stack">
      <Figure
        density={result.gauge.walesPerMm}
        noun="stitches"
        hand={result.handCount.wales}
        tag={gaugeTag(status, finding, props.scaleDoubts)}
      />
      {hasGaps && <Figure density={result.needlePositionsPerMm} noun="needle positions" hand={null} />}
      <Figure density={result.gauge.coursesPerMm} noun="rows" hand={result.handCount.courses} />
      <p>
        {result.counts.wales} whole columns and {result.counts.courses} whole rows in the window
        {hasGaps && `, on ${result.counts.needlePositions} needle positions`}.{touching && ` ${touching}`}{' '}
        {props.spirality && spiralitySentence(props.spirality)}
      </p>
      {hasGaps && (
        <p className="note">
          Stitches are those that can be seen. A gap is a needle position without one: a needle left out, or a
          purl column that the rib hides.
        </p>
      )}
      {props.layers && (
        <Choices
          label="The fabric in the photo is"
          options={layerNames}
          chosen={props.layers}
          onChoose={props.onLayers}
          hint="A tube lies higher above the mat, so it looks larger; that is taken off."
        />
      )}
      <div className={`note ${status === 'proposal' ? 'note--warn' : 'note--sure'}`}>
        <p>
          <strong>{statusSentence(props, status, result.unevenSteps)}</strong>
          {status === 'proposal' && reason && ` ${reason}`}
        </p>
        {status === 'proposal' && (reason || result.unevenSteps > 0) && (
          <div className="row">
            <button type="button" className="button" onClick={props.onStitches}>
              Look over the lines
            </button>
          </div>
        )}
      </div>
      <ScalePart {...props} />
      {result.warnings.length > 0 && (
        <ul className="note note--warn">
          {result.warnings.map((warning) => (
            <li key={warning}>{warning}</li>
          ))}
        </ul>
      )}
      <button type="button" className="button button--primary" onClick={props.onNext}>
        Write it down
      </button>
      {props.evenness && <EvennessPart evenness={props.evenness} map={props.map} onMap={props.onMap} />}
      <details>
        <summary>Where the ± comes from</summary>
        <div className="stack small">
          <BudgetTable budget={result.budget.wales} noun="Stitches per inch" />
          <BudgetTable budget={result.budget.courses} noun="Rows per inch" />
          <p className="soft">
            Each part is a share of the number; together, at 95 %, they make the ± (JCGM 100:2008).
          </p>
        </div>
      </details>
    </div>
  );
};
