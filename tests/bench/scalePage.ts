import { SCALE_KINDS } from '../builders/scene-scale';
import { casesInFolder } from './known';
import type { BenchOptions } from './options';
import { scaleAll } from './pool';
import type { ScaleCase, ScaleRow } from './scaleCase';
import { median } from './summary';

/** What each kind must reach: median error and share found untouched. */
const BARS: Readonly<Record<string, { readonly median: number; readonly found: number | null }>> = {
  grid: { median: 0.001, found: 0.95 },
  sheet: { median: 0.001, found: 0.95 },
  card: { median: 0.002, found: 0.9 },
  paper: { median: 0.002, found: 0.9 },
  ruler: { median: 0.003, found: 0.9 },
  coin: { median: 0.006, found: 0.8 },
  caliper: { median: 0.006, found: null },
};

const drawnCases = (count: number, { seeds: [seed], maximumPx }: BenchOptions): ScaleCase[] =>
  Array.from({ length: count }, (_, i) => {
    const kind = SCALE_KINDS[i % SCALE_KINDS.length] ?? 'grid';
    return {
      name: `drawn ${seed}-${i}`,
      kind,
      source: { from: 'seed', seed: seed * 100_000 + i, kind, maximumPx },
    };
  });

const givenCases = (folder: string): ScaleCase[] =>
  casesInFolder(folder, 'extra').flatMap(({ name, source }): ScaleCase[] =>
    source.from === 'file' && source.known.referenceKind !== 'none'
      ? [{ name, kind: source.known.referenceKind, source }]
      : [],
  );

const percent = (share: number | null | undefined, digits: number): string =>
  share === null || share === undefined || Number.isNaN(share) ? '–' : `${(100 * share).toFixed(digits)} %`;

const tableRow = (kind: string, rows: readonly ScaleRow[]): string => {
  const errors = rows.flatMap(({ error }) => (error === null ? [] : [Math.abs(error)]));
  const outside = rows.filter(
    ({ error, plusMinus }) => error !== null && plusMinus !== null && Math.abs(error) > plusMinus,
  );
  const bar = BARS[kind];
  const cells = [
    kind,
    String(rows.length),
    percent(errors.length / rows.length, 0),
    percent(bar?.found, 0),
    percent(median(errors), 3),
    percent(bar?.median, 1),
    percent(errors.length === 0 ? null : Math.max(...errors), 2),
    String(outside.length),
    String(rows.filter(({ wrong }) => wrong !== null).length),
  ];
  return `| ${cells.join(' | ')} |`;
};

const tableOf = (rows: readonly ScaleRow[]): string =>
  [
    '| kind | photos | found untouched | at least | median error | at most | largest error | outside its own ± | wrong but accepted without a question |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- |',
    ...Object.keys(BARS).flatMap((kind) => {
      const ofKind = rows.filter((row) => row.kind === kind);
      return ofKind.length === 0 ? [] : [tableRow(kind, ofKind)];
    }),
  ].join('\n');

const listOf = (rows: readonly ScaleRow[]): string => {
  const lines = rows.flatMap(({ name, kind, error, plusMinus, wrong, isAskedAbout }) => {
    if (wrong !== null) return [`- ${name} (${kind}): ${wrong}`];
    if (error === null)
      return [`- ${name} (${kind}): ${isAskedAbout ? 'seen, but unsure: asked about' : 'not found'}`];
    return plusMinus !== null && Math.abs(error) > plusMinus
      ? [`- ${name} (${kind}): off by ${percent(error, 2)}, ± ${percent(plusMinus, 2)}`]
      : [];
  });
  return lines.length === 0 ? 'None.' : lines.join('\n');
};

const section = (title: string, rows: readonly ScaleRow[]): string =>
  rows.length === 0
    ? ''
    : `## ${title}\n\n${tableOf(rows)}\n\nNot found, wrong, or outside its own ±:\n\n${listOf(rows)}\n`;

/** Finds the scale in drawn photos of every kind and in given ones, and tells how well. */
export const scalePage = async (
  count: number,
  options: BenchOptions,
  command: string,
  onRow: (line: string) => void,
): Promise<string> => {
  const drawn = drawnCases(count, options);
  const given = options.photos === null ? [] : givenCases(options.photos);
  const cases = [...given, ...drawn];
  const rows = await scaleAll(cases, options.processes, (row, done) =>
    onRow(`${done}/${cases.length} ${row.name} (${row.kind}): ${percent(row.error, 3)} ${row.wrong ?? ''}\n`),
  );
  const intro =
    'Each photo is looked at twice: untold, and told what its user says once (the spacing of the mat’s lines or the ruler’s marks, the coin’s diameter, the size of the paper, what the check rulers of the printed sheet measure). A caliper is tapped once on either jaw, not exactly. The error is that of lengths across the swatch, in the plane of the reference. Drawn photos: tilt to 30°, a bowing lens in half of them, a shadow’s edge in half of them, the focal length in three files of four, the swatch over a part of the thing in some. Wrong: off by more than 1 % and more than its own ±, and taken without a question.';
  return [
    '# Scale by kind of reference\n',
    `Made by \`${command}\`. ${intro}\n`,
    section('Given photos', rows.slice(0, given.length)),
    section('Drawn photos', rows.slice(given.length)),
  ].join('\n');
};
