import { Link } from 'wouter';
import type { NamedReference } from '../../../domain/records';
import { checkLengthMm, type PrintScale } from '../../../domain/referenceSheet';
import { formatDecimals } from '../../../domain/units';
import { CheckRulersForm } from './CheckRulersForm';

interface Props {
  readonly remembered: readonly NamedReference[];
  /** What the check rulers measure, or null when she has not measured them. */
  readonly onPrint: (print: PrintScale | null, named: NamedReference | null) => void;
}

const trueSize: PrintScale = { across: 1, along: 1 };

/** What the check rulers of a print measure, in words. */
export const printWords = ({ across, along }: PrintScale): string =>
  `${formatDecimals(across * checkLengthMm, 1)} × ${formatDecimals(along * checkLengthMm, 1)} mm`;

/** Asks once what the printer made of the sheet; after that one tap is enough. */
export const SheetQuestion = ({ remembered, onPrint }: Props) => {
  const mine = remembered
    .filter((named) => named.kind === 'sheet' && named.printScale)
    .sort((a, b) => b.lastUsedAt.localeCompare(a.lastUsedAt));
  return (
    <fieldset className="stack question">
      <legend>What do the two check rulers of your print measure?</legend>
      {mine.map((named) => (
        <button
          key={named.id}
          type="button"
          className="button button--primary"
          onClick={() => onPrint(named.printScale ?? null, named)}
        >
          It is {named.name}: {printWords(named.printScale ?? trueSize)}
        </button>
      ))}
      <button
        type="button"
        className={`button${mine.length === 0 ? ' button--primary' : ''}`}
        onClick={() => onPrint(trueSize, null)}
      >
        Both measure {checkLengthMm} mm
      </button>
      <CheckRulersForm onPrint={(print) => onPrint(print, null)} />
      <button type="button" className="button" onClick={() => onPrint(null, null)}>
        Not measured yet: go on with a wider ±
      </button>
      <p className="small soft">
        Printers shrink or stretch a page by 1 to 2 %, and not alike both ways; until you say what yours did,
        the numbers are a proposal. Measured once, it is remembered; mind the caliper’s sharp points.{' '}
        <Link href="/sheet">Print another sheet</Link>
      </p>
    </fieldset>
  );
};
