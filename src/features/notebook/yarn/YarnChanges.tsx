import type { Uncertain } from '../../../domain/gauge';
import type { RestState } from '../../../domain/records';
import {
  formatDecimals,
  formatJudgedPercent,
  formatUncertain,
  uncertainPerInch,
} from '../../../domain/units';
import type { NotebookRow } from '../../../store/notebookRows';
import { type YarnChange, yarnChanges } from '../../../store/yarnChanges';

const changeNames: Readonly<Record<RestState, string>> = {
  offMachine: 'Off the machine',
  rested: 'Rested',
  washedAndDried: 'Washed and dried',
  worn: 'Worn',
};

/** A change smaller than its ± is no change to speak of. */
const changeOf = (
  { value, plusMinus95 }: Uncertain,
  [smaller, same, larger]: readonly [string, string, string],
): string =>
  Math.abs(value) <= plusMinus95
    ? `${same} within ${formatDecimals(100 * plusMinus95, 1)} %`
    : `${formatJudgedPercent(Math.abs(value), plusMinus95)} ${value < 0 ? smaller : larger}`;

const widthWords = ['narrower', 'as wide', 'wider'] as const;
const lengthWords = ['shorter', 'as long', 'longer'] as const;

const inch = (perMm: Uncertain): string => {
  const { value, plusMinus95 } = uncertainPerInch(perMm);
  return formatUncertain(value, plusMinus95);
};

const Change = ({ change }: { readonly change: YarnChange }) => {
  const { from, to, width, length, pieces, example } = change;
  return (
    <li>
      <h3>
        {changeNames[from]} → {changeNames[to].toLowerCase()}
      </h3>
      <p>
        <strong>{changeOf(width, widthWords)}</strong>, <strong>{changeOf(length, lengthWords)}</strong>
        <span className="soft small"> · {pieces === 1 ? 'one piece' : `${pieces} pieces`}</span>
      </p>
      {example && (
        <p className="small soft">
          {inch(example.before.walesPerMm)} × {inch(example.before.coursesPerMm)} stitches and rows per inch
          before come to {inch(example.after.walesPerMm)} × {inch(example.after.coursesPerMm)} after.
        </p>
      )}
    </li>
  );
};

/** How the yarn's fabric relaxes and shrinks, from pieces that were measured more than once. */
export const YarnChanges = ({ rows }: { readonly rows: readonly NotebookRow[] }) => {
  const changes = yarnChanges(rows);
  return (
    <section className="stack" aria-labelledby="yarn-changes">
      <h2 id="yarn-changes">How its fabric changes</h2>
      {changes.length === 0 ? (
        <p className="small soft">
          Measure one piece again after it has rested or been washed (from the card of its swatch), and this
          shows how much it shrinks.
        </p>
      ) : (
        <ul className="yarn-changes">
          {changes.map((change) => (
            <Change key={`${change.from} ${change.to}`} change={change} />
          ))}
        </ul>
      )}
    </section>
  );
};
