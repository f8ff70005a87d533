import { useId, useState } from 'react';
import { lengthDifference, SOCK_ROUNDS, sockOnCylinder } from '../../../domain/compareViewSock';
import { relativeDifference } from '../../../domain/compareViewTable';
import type { Uncertain } from '../../../domain/gauge';
import { CYLINDER_NEEDLES } from '../../../domain/sock';
import type { LengthUnit } from '../stage/Ruler';
import { judgedLength, shownLength } from '../words';
import type { Counted } from './rows';

interface Props {
  readonly swatches: readonly Counted[];
  readonly names: readonly string[];
  readonly unit: LengthUnit;
}

/** Needles to begin with: those of the swatches, otherwise a usual sock cylinder. */
const usualNeedles = (swatches: readonly Counted[]): number =>
  swatches.find(({ swatch }) => swatch.cylinderNeedles !== null)?.swatch.cylinderNeedles ?? 72;

const change = (difference: Uncertain, unit: LengthUnit, words: readonly [string, string]): string => {
  const size = judgedLength({ ...difference, value: Math.abs(difference.value) }, unit);
  return Math.abs(difference.value) > difference.plusMinus95
    ? `${size} ${difference.value > 0 ? words[0] : words[1]}`
    : `no difference that can be told (${size})`;
};

/** What the gauges mean for a sock from one and the same cylinder. */
export const SockPart = ({ swatches, names, unit }: Props) => {
  const id = useId();
  const [typed, setTyped] = useState<string | null>(null);
  const usual = usualNeedles(swatches);
  const text = typed ?? String(usual);
  const needles = Number(text);
  const fits =
    Number.isInteger(needles) && needles >= CYLINDER_NEEDLES.least && needles <= CYLINDER_NEEDLES.most;
  const socks = swatches.map(({ compared }) => sockOnCylinder(fits ? needles : usual, compared.result.gauge));
  const [first, ...others] = swatches;
  return (
    <div className="stack-small">
      <div className="field needles-field">
        <label htmlFor={id}>Needles of the cylinder</label>
        <input
          id={id}
          inputMode="numeric"
          value={text}
          aria-invalid={!fits}
          onChange={(event) => setTyped(event.target.value)}
        />
      </div>
      {!fits && (
        <p className="problem">
          A whole number from {CYLINDER_NEEDLES.least} to {CYLINDER_NEEDLES.most}, please; {usual} is used
          meanwhile.
        </p>
      )}
      <table className={`compare-table compare-table--${names.length} sock-table`} data-testid="sock">
        <thead>
          <tr>
            <td />
            {names.map((name) => (
              <th key={name} scope="col">
                <span className="letter">{name}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">Around</th>
            {socks.map((sock, i) => (
              <td key={names[i]}>{shownLength(sock.girthMm, unit)}</td>
            ))}
          </tr>
          <tr>
            <th scope="row">Length of {SOCK_ROUNDS} rounds</th>
            {socks.map((sock, i) => (
              <td key={names[i]}>{shownLength(sock.lengthMm, unit)}</td>
            ))}
          </tr>
        </tbody>
      </table>
      {others.map((other, i) => {
        const stitches = first && relativeDifference('stitches', first.compared, other.compared);
        const rows = first && relativeDifference('rows', first.compared, other.compared);
        const sock = socks[0];
        if (!stitches || !rows || !sock) return null;
        const girth = lengthDifference(sock.girthMm.value, stitches.relative);
        const length = lengthDifference(sock.lengthMm.value, rows.relative);
        return (
          <p key={names[i + 1]}>
            From the same cylinder a sock like {names[i + 1]} is, against {names[0]}:{' '}
            {change(girth, unit, ['wider around', 'narrower around'])}; after {SOCK_ROUNDS} rounds{' '}
            {change(length, unit, ['longer', 'shorter'])}.
          </p>
        );
      })}
      <p className="small soft">The tube as it lies at rest, before it is stretched over a foot.</p>
    </div>
  );
};
