import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toCsv } from '../../src/storage/csv';

const lineOf = (...cells: (string | number | null)[]): string =>
  toCsv(['head'], [cells])
    .replace(/^\ufeff/, '')
    .split('\r\n')[1] ?? '';

/** Signs that mean something to spreadsheets, and some that do not. */
const sign = fc.constantFrom(...'=+-@\t\r\n",;\' \0ab1.ä𝄞＝'.match(/./gsu)!);

/** Reads comma-separated values by the grammar of RFC 4180, section 2. */
const parse = (text: string): string[][] => {
  const rows: string[][] = [[]];
  const pattern = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/gy;
  for (let match = pattern.exec(text); match !== null; match = pattern.exec(text)) {
    rows.at(-1)!.push(match[1]?.replaceAll('""', '"') ?? match[2] ?? '');
    if (match[3] === '\r\n') rows.push([]);
  }
  return rows.slice(0, -1);
};

describe('a table for spreadsheets', () => {
  it('quotes what RFC 4180 wants quoted', () => {
    expect(lineOf('plain', 'a,b', 'say "so"', 'two\nlines', '', null, 8.25)).toBe(
      'plain,"a,b","say ""so""","two\nlines",,,8.25',
    );
  });

  // The characters that OWASP's page "CSV Injection" warns of.
  it.each(['=1+2', '+1', '-1', '@SUM(A1)', '\t=1', '\r=1', '\n=1', ' =1', '＝1', "=cmd|' /C calc'!A0"])(
    'never lets %j be taken for a formula',
    (text) => {
      expect(parse(`${lineOf(text)}\r\n`)[0]?.[0]).toBe(`'${text}`);
    },
  );

  it('leaves negative numbers alone, because they are numbers', () => {
    expect(lineOf(-1.5)).toBe('-1.5');
  });

  it('says nothing where a number is none', () => {
    expect(lineOf(Number.NaN, Number.POSITIVE_INFINITY, 1)).toBe(',,1');
  });

  it('gives every text back to a reader of the standard, and none that starts like a formula', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: sign }), { minLength: 1, maxLength: 5 }), (cells) => {
        const [, row] = parse(toCsv(['head'], [cells]).replace(/^\ufeff/, ''));
        expect(row?.map((cell, i) => (cell === cells[i] ? cell : cell.slice(1)))).toEqual(cells);
        expect(row?.filter((cell) => /^[=+\-@\t\r]/.test(cell))).toEqual([]);
      }),
    );
  });

  it('tells spreadsheets that it is UTF-8', () => {
    expect(toCsv(['Färbung'], [])).toBe('\ufeffFärbung\r\n');
  });
});
