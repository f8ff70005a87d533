import { formatUncertainPercent } from '../../../domain/units';
import { adviceFor } from '../../../store/compareAdvice';
import type { Counted } from './rows';

interface Props {
  readonly first: Counted;
  readonly other: Counted;
  readonly names: { readonly from: string; readonly target: string };
}

/** How to set the cam so that the other yarn knits like the first, by what its machine remembers. */
export const Advice = ({ first, other, names }: Props) => {
  const advice = adviceFor(other.swatch, other.machine, first.compared.result.gauge, names);
  if (advice.kind === 'none') return <p className="soft">{advice.sentence}</p>;
  const { rowsOff } = advice;
  const apart = rowsOff !== null && Math.abs(rowsOff.value) > rowsOff.plusMinus95;
  return (
    <div className="stack-small" data-testid="advice">
      <p>
        <strong>{advice.sentence}</strong>
      </p>
      {advice.turning && <p>{advice.turning}</p>}
      {rowsOff && (
        <p className={apart ? 'note note--warn' : undefined}>
          {apart
            ? `Columns and rows cannot both be met: with the stitches right, ${names.from} will have ${formatUncertainPercent(Math.abs(rowsOff.value), rowsOff.plusMinus95)} ${rowsOff.value > 0 ? 'more' : 'fewer'} rows than ${names.target}.`
            : `The rows should then come out like those of ${names.target}, within ${formatUncertainPercent(Math.abs(rowsOff.value), rowsOff.plusMinus95)}.`}
        </p>
      )}
      {advice.cautions.length > 0 && (
        <ul className="small soft">
          {advice.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
    </div>
  );
};
