import { Fragment } from 'react';
import type { TableRow } from './rows';

interface Props {
  readonly names: readonly string[];
  readonly rows: readonly TableRow[];
}

/** Where a value has to break over two lines, it breaks before its ±, and its unit stays with it. */
const unbroken = (value: string): string =>
  value.replaceAll('± ', '±\u00a0').replace(/ (in|mm|%)$/, '\u00a0$1');

const marks = { real: '≠', open: '?', told: '' } as const;

/** Number by number: what each swatch has, and below it what the difference to the first is worth. */
export const CompareTable = ({ names, rows }: Props) => (
  <table className={`compare-table compare-table--${names.length}`}>
    <caption className="visually-hidden">
      Each quantity with its ± at 95 %, and how the others differ from {names[0]}
    </caption>
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
    {rows.map((row) => (
      <tbody key={row.key} data-row={row.key}>
        <tr>
          <th scope="row">{row.label}</th>
          {row.values.map((value, i) => (
            <td key={names[i]} className={value === null ? 'soft' : undefined}>
              {value === null ? 'not known' : unbroken(value)}
            </td>
          ))}
        </tr>
        {(row.verdicts.some((v) => v !== null) || row.note) && (
          <tr className="verdict-line">
            <td colSpan={names.length + 1}>
              {row.verdicts.map((verdict, i) =>
                verdict === null ? null : (
                  <p key={names[i + 1]} className={`verdict verdict--${verdict.kind}`}>
                    <span className="verdict-mark" aria-hidden="true">
                      {marks[verdict.kind]}
                    </span>
                    <span>
                      {names.length > 2 && (
                        <strong>
                          {names[i + 1]} to {names[0]}:{' '}
                        </strong>
                      )}
                      {verdict.text}
                    </span>
                  </p>
                ),
              )}
              {row.note && <p className="small soft">{row.note}</p>}
            </td>
          </tr>
        )}
      </tbody>
    ))}
  </table>
);

/** What must be known before any number is read. */
export const Flags = ({ flags }: { readonly flags: readonly { kind: string; sentence: string }[] }) =>
  flags.length === 0 ? null : (
    <div className="note note--warn compare-flags" data-testid="compare-flags">
      <p>
        <strong>Before you read the numbers</strong>
      </p>
      <ul>
        {flags.map(({ kind, sentence }) => (
          <li key={kind} data-flag={kind}>
            {sentence}
          </li>
        ))}
      </ul>
    </div>
  );

/** The two verdicts that matter most, large. */
export const Headline = ({
  names,
  rows,
}: {
  readonly names: readonly string[];
  readonly rows: readonly TableRow[];
}) => (
  <div className="headline">
    {names.slice(1).map((name, i) => (
      <Fragment key={name}>
        <p className="headline-names">
          <span className="letter">{name}</span> against <span className="letter">{names[0]}</span>
        </p>
        {rows.slice(0, 2).map((row) => {
          const verdict = row.verdicts[i];
          return verdict ? (
            <p key={row.key} className={`headline-verdict verdict--${verdict.kind}`}>
              {verdict.text}
            </p>
          ) : null;
        })}
      </Fragment>
    ))}
  </div>
);
