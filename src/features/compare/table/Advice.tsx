import { rowsSentence } from '../../../domain/compareViewAdvice';
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
  const rows = advice.rowsOff && rowsSentence(advice.rowsOff, names);
  return (
    <div className="stack-small" data-testid="advice">
      <p>
        <strong>{advice.sentence}</strong>
      </p>
      {advice.turning && <p>{advice.turning}</p>}
      {rows && <p className={rows.warns ? 'note note--warn' : undefined}>{rows.sentence}</p>}
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
