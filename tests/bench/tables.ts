import { type BenchRow, pictureName, worst } from './row';
import {
  coverage,
  isWithin,
  isWronglySure,
  type KindSummary,
  reliability,
  scaleByReference,
  summariesBy,
} from './summary';

/** A share in percent; – for none. */
export const percent = (value: number | null, digits = 0): string =>
  value === null || !Number.isFinite(value) ? '–' : `${(100 * value).toFixed(digits)} %`;

/** A share in percent with its sign, without the unit; – for none. */
export const signed = (value: number | null | undefined): string =>
  value === null || value === undefined
    ? '–'
    : `${value >= 0 ? '+' : '−'}${Math.abs(100 * value).toFixed(2)}`;

/** A Markdown table. */
export const table = (head: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
  [
    `| ${head.join(' | ')} |`,
    `|${head.map(() => ' --- |').join('')}`,
    ...rows.map((row) => `| ${row.join(' | ')} |`),
  ].join('\n');

const density = (row: BenchRow, key: 'stitchesPerInch' | 'rowsPerInch'): string => {
  const value = row.value?.[key];
  return value === undefined ? '–' : `${value.value.toFixed(2)} ± ${value.plusMinus95.toFixed(2)}`;
};

/** One line a photo. */
export const photoTable = (rows: readonly BenchRow[]): string =>
  table(
    [
      'photo',
      'kind',
      'px a stitch',
      'true st/in, rows/in',
      'stitches/in',
      'rows/in',
      'error % st, rows',
      'stitches alone %',
      'scale %',
      'status',
      'chance',
      'ms',
    ],
    rows.map((row) => [
      row.name,
      row.kind,
      row.pxPerStitch?.toFixed(1) ?? '–',
      row.truth === null
        ? '–'
        : `${row.truth.stitchesPerInch.toFixed(2)}, ${row.truth.rowsPerInch.toFixed(2)}`,
      density(row, 'stitchesPerInch'),
      density(row, 'rowsPerInch'),
      `${signed(row.gaugeError?.stitches)}, ${signed(row.gaugeError?.rows)}`,
      `${signed(row.stitchError?.stitches)}, ${signed(row.stitchError?.rows)}`,
      signed(row.scaleError),
      row.status === row.stitchStatus ? row.status : `${row.status} (stitches ${row.stitchStatus})`,
      row.chance.toFixed(3),
      (row.timingsMs.total ?? 0).toFixed(0),
    ]),
  );

/** Share right and median error by kind. */
export const kindTable = (summaries: readonly KindSummary[]): string =>
  table(
    [
      'kind',
      'photos',
      'stitches within 1 %',
      'median error of stitches',
      'gauge within 1 % (scale found)',
      'median error of gauge',
      '"measured"',
      '"measured" and off by over 2 %',
    ],
    summaries.map((s) => [
      s.name,
      s.photos,
      percent(s.stitchesWithin),
      percent(s.medianStitchError, 2),
      percent(s.gaugeWithin),
      percent(s.medianGaugeError, 2),
      s.measured,
      s.wronglySure,
    ]),
  );

/** How often each kind of reference gave a scale, and how good it was. */
export const scaleTable = (rows: readonly BenchRow[]): string =>
  table(
    ['reference', 'photos', 'gave a scale untouched', 'median error', 'largest error', 'off by over 2 %'],
    scaleByReference(rows).map((s) => [
      s.reference,
      s.photos,
      percent(s.found),
      percent(s.medianError, 2),
      percent(s.largestError, 2),
      s.wrong,
    ]),
  );

const reliabilityTable = (rows: readonly BenchRow[]): string =>
  table(
    ['stated chance', 'photos', 'mean chance', 'came out within 1 %'],
    reliability(rows).map((band) => [
      `${percent(band.from)} to ${percent(band.to)}`,
      band.photos,
      percent(band.meanChance, 1),
      percent(band.shareRight, 1),
    ]),
  );

const failureLine = (row: BenchRow): string => {
  const error = worst(row.stitchError);
  const what = Number.isFinite(error)
    ? `stitches ${signed(row.stitchError?.stitches)} %, rows ${signed(row.stitchError?.rows)} %`
    : 'no stitches';
  const name = row.set === 'generated' ? `[${row.name}](failures/${pictureName(row.name)})` : row.name;
  return `- ${name} (${row.kind}): ${what}; ${row.stitchStatus}, chance ${row.chance.toFixed(2)}. ${row.stitchReasons[0] ?? ''}`;
};

const failures = (rows: readonly BenchRow[]): string => {
  const failed = rows.filter((row) => !isWithin(row)).sort((a, b) => a.kind.localeCompare(b.kind));
  return failed.length === 0 ? 'None.' : failed.map(failureLine).join('\n');
};

/** Scales that are missing, or off by more than their own ±. */
const scaleFailures = (rows: readonly BenchRow[]): string => {
  const failed = rows.filter(
    ({ referenceKind, scaleError, scalePlusMinus }) =>
      referenceKind !== 'none' && (scaleError === null || Math.abs(scaleError) > (scalePlusMinus ?? 0)),
  );
  const line = (row: BenchRow): string =>
    `- ${row.name}: ${row.referenceKind}, ${
      row.scaleError === null
        ? 'no scale'
        : `${signed(row.scaleError)} % from what was taken for a ${row.foundReference ?? 'reference'} (± ${percent(row.scalePlusMinus, 2)})`
    }; ${row.status}`;
  return failed.length === 0 ? 'None.' : failed.map(line).join('\n');
};

/** The sets of photos in words. */
export const titles: Record<BenchRow['set'], string> = {
  sample: 'Sample photos',
  extra: 'Further photos with exact truth',
  real: 'Photographs labelled by eye (pitch only, ± the label’s own tolerance)',
  generated: 'Drawn photos',
};

/** The whole accuracy page. */
export const accuracyPage = (rows: readonly BenchRow[], command: string): string => {
  const parts = [
    '# Accuracy',
    '',
    `Made by \`${command}\`. Each photo is measured untouched; only what its user says once is given: the spacing of the mat’s lines or the ruler’s marks, the coin’s diameter, the size of the paper, and of a flattened tube that it is one.`,
    '',
  ];
  for (const set of ['sample', 'extra', 'real', 'generated'] as const) {
    const own = rows.filter((row) => row.set === set);
    if (own.length === 0) continue;
    const covered = coverage(own);
    parts.push(`## ${titles[set]}`, '', kindTable(summariesBy(own, (row) => row.kind)), '');
    if (covered.of > 0)
      parts.push(`Truth inside the ± at 95 %: ${percent(covered.share, 1)} of ${covered.of} densities.`, '');
    parts.push(photoTable(own), '', 'Stitches not within 1 %:', '', failures(own), '');
    if (own.some((row) => row.referenceKind !== 'none')) {
      parts.push(scaleTable(own), '', 'No scale, or off by more than its own ±:', '', scaleFailures(own), '');
    }
  }
  const sure = rows.filter(isWronglySure);
  parts.push(
    '## How far a stated chance can be believed',
    '',
    reliabilityTable(rows),
    '',
    `"measured" and off by over 2 %: ${sure.length}${sure.length > 0 ? ` (${sure.map((row) => row.name).join(', ')})` : ''}.`,
    '',
  );
  return parts.join('\n');
};
