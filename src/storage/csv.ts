/** One cell: a text, a number, or nothing. */
export type CsvCell = string | number | null;

/**
 * A text that a spreadsheet takes as a text: one that starts like a formula gets an apostrophe before it, as OWASP advises against
 * formula injection (OWASP, "CSV Injection": = + - @, tab and carriage return; line feed and their full-width forms too).
 */
const harmless = (text: string): string => (/^[\s\0]*[=+\-@\t\r\n＝＋－＠]/.test(text) ? `'${text}` : text);

const cellText = (cell: CsvCell): string => {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : '';
  const text = harmless(cell);
  return /[",;\r\n]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
};

/**
 * A table as comma-separated values (RFC 4180), with a byte order mark so that spreadsheets read it as UTF-8.
 * Numbers have a decimal point.
 */
export const toCsv = (head: readonly string[], rows: readonly (readonly CsvCell[])[]): string =>
  `\ufeff${[head, ...rows].map((row) => `${row.map(cellText).join(',')}\r\n`).join('')}`;
