import { type BenchRow, worst } from './row';

/** One line of the summary by kind. */
export interface KindSummary {
  readonly name: string;
  readonly photos: number;
  /** Share with both densities within 1 %: stitches alone on the true scale, and the gauge with the scale found. */
  readonly stitchesWithin: number;
  /** Over the photos whose scale was found; null where there are none. */
  readonly gaugeWithin: number | null;
  readonly medianStitchError: number;
  readonly medianGaugeError: number | null;
  readonly measured: number;
  /** "measured" and off by over 2 %. */
  readonly wronglySure: number;
}

/** Median; NaN of nothing. */
export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length / 2;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1
    ? (sorted[Math.floor(middle)] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
};

const share = <T>(items: readonly T[], holds: (item: T) => boolean): number =>
  items.length === 0 ? Number.NaN : items.filter(holds).length / items.length;

/** Within 1 % of the truth, or of what is known of it. */
export const isWithin = (row: BenchRow, limit = 0.01): boolean =>
  worst(row.stitchError) <= Math.max(limit, row.tolerance);

/** Whether all that the user would read comes out right: the stitches, and with a reference in the photo the gauge too. */
export const isRight = (row: BenchRow): boolean =>
  isWithin(row) && (row.referenceKind === 'none' || worst(row.gaugeError) <= 0.01);

/** Kinds of photo whose fabric is not plain: its columns or rows do not all look alike. */
const PATTERNED: readonly string[] = ['needle gaps', 'rib', 'garter', 'mock3x1'];

/** Whether the photo shows plain fabric, on either face. */
export const isPlain = ({ kind }: BenchRow): boolean => !PATTERNED.includes(kind);

/** How many of some photos came out right. */
export interface Tally {
  readonly name: string;
  readonly photos: number;
  readonly stitchesRight: number;
  /** Photos with a reference in them, and those of them whose gauge came out right; a reference that was not found counts as a miss. */
  readonly referenced: number;
  readonly gaugeRight: number;
}

/** Counts what came out right among some photos. */
export const tallyOf = (name: string, rows: readonly BenchRow[]): Tally => {
  const referenced = rows.filter((row) => row.referenceKind !== 'none');
  return {
    name,
    photos: rows.length,
    stitchesRight: rows.filter((row) => isWithin(row)).length,
    referenced: referenced.length,
    gaugeRight: referenced.filter(isRight).length,
  };
};

/** Whether the result says "measured" and one of the numbers that it shows is off by over 2 %. */
export const isWronglySure = (row: BenchRow): boolean => {
  const limit = Math.max(0.02, row.tolerance);
  const gaugeWrong = row.status === 'measured' && row.gaugeError !== null && worst(row.gaugeError) > limit;
  const stitchesWrong = row.stitchStatus === 'measured' && worst(row.stitchError) > limit;
  return gaugeWrong || stitchesWrong;
};

const summarise = (name: string, rows: readonly BenchRow[]): KindSummary => {
  const scaled = rows.filter((row) => row.gaugeError !== null);
  return {
    name,
    photos: rows.length,
    stitchesWithin: share(rows, (row) => isWithin(row)),
    gaugeWithin: scaled.length === 0 ? null : share(scaled, (row) => worst(row.gaugeError) <= 0.01),
    medianStitchError: median(rows.map((row) => worst(row.stitchError))),
    medianGaugeError: scaled.length === 0 ? null : median(scaled.map((row) => worst(row.gaugeError))),
    measured: rows.filter((row) => row.stitchStatus === 'measured').length,
    wronglySure: rows.filter(isWronglySure).length,
  };
};

/** Summaries by the name that `nameOf` gives each row, in order of first appearance, and over all. */
export const summariesBy = (rows: readonly BenchRow[], nameOf: (row: BenchRow) => string): KindSummary[] => {
  const names = [...new Set(rows.map(nameOf))];
  return [
    ...names.map((name) =>
      summarise(
        name,
        rows.filter((row) => nameOf(row) === name),
      ),
    ),
    summarise('all', rows),
  ];
};

/** A scale or a count that is off by more than this took something for what it is not; no ± covers that. */
export const MISTAKEN = 0.02;

/** Share of densities whose truth lies inside their ± at 95 %, over the photos whose stitches and reference were not mistaken. */
export const coverage = (rows: readonly BenchRow[]): { readonly share: number; readonly of: number } => {
  const inside: boolean[] = [];
  for (const { truth, value, stitchError, scaleError } of rows) {
    if (truth === null || value === null || worst(stitchError) > MISTAKEN) continue;
    if (scaleError !== null && Math.abs(scaleError) > MISTAKEN) continue;
    for (const key of ['stitchesPerInch', 'rowsPerInch'] as const) {
      inside.push(Math.abs(value[key].value - truth[key]) <= value[key].plusMinus95);
    }
  }
  return { share: share(inside, (hit) => hit), of: inside.length };
};

/** One line of the reliability table: photos whose chance lay in a band, and how many came out right. */
export interface ReliabilityBand {
  readonly from: number;
  readonly to: number;
  readonly photos: number;
  readonly meanChance: number;
  readonly shareRight: number;
}

/** How often a stated chance of being within 1 % came true. */
export const reliability = (rows: readonly BenchRow[]): ReliabilityBand[] => {
  const edges = [0, 0.5, 0.8, 0.95, 0.99, 1.0001];
  return edges.slice(1).map((to, i) => {
    const from = edges[i] as number;
    const inBand = rows.filter((row) => row.chance >= from && row.chance < to);
    return {
      from,
      to: Math.min(1, to),
      photos: inBand.length,
      meanChance: inBand.reduce((sum, row) => sum + row.chance, 0) / inBand.length,
      shareRight: share(inBand, (row) => isWithin(row)),
    };
  });
};

/** One line of the scale table. */
export interface ScaleSummary {
  readonly reference: string;
  readonly photos: number;
  readonly found: number;
  readonly medianError: number;
  readonly largestError: number;
  /** Found, unquestioned, and off by over 2 %. */
  readonly wrong: number;
}

/** How often each kind of reference gave a scale, and how good it was. */
export const scaleByReference = (rows: readonly BenchRow[]): ScaleSummary[] =>
  [...new Set(rows.map((row) => row.referenceKind))]
    .filter((kind) => kind !== 'none')
    .map((reference) => {
      const all = rows.filter((row) => row.referenceKind === reference);
      const errors = all.flatMap((row) => (row.scaleError === null ? [] : [Math.abs(row.scaleError)]));
      return {
        reference,
        photos: all.length,
        found: errors.length / all.length,
        medianError: median(errors),
        largestError: Math.max(0, ...errors),
        wrong: errors.filter((error) => error > MISTAKEN).length,
      };
    });
