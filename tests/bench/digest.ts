import { isFirstHalf } from './logistic';
import { type BenchRow, pictureName, worst } from './row';
import { coverage, isPlain, isRight, isWithin, type KindSummary, summariesBy, tallyOf } from './summary';
import { kindTable, percent, scaleTable, signed, table, titles } from './tables';

/** The set of a photo in words; drawn photos by their seed, so that one never looked at stands apart. */
const groupOf = ({ set, name }: BenchRow): string =>
  set === 'generated' ? `${titles[set]}, seed ${name.match(/\d+/)?.[0] ?? ''}` : titles[set];

/** Plain fabric and all, by group and by half of the names: what was tuned on one half shows on the other. */
const tallyTable = (rows: readonly BenchRow[]): string => {
  const exact = rows.filter((row) => row.truth !== null);
  const groups = [...new Set(exact.map(groupOf))].map(
    (group) => [group, exact.filter((row) => groupOf(row) === group)] as const,
  );
  const halves = [true, false].map(
    (first) =>
      [
        `Given and drawn photos, ${first ? 'first' : 'second'} half by a hash of their names`,
        exact.filter((row) => row.set !== 'sample' && isFirstHalf(row.name) === first),
      ] as const,
  );
  const share = (right: number, of: number): string =>
    of === 0 ? '–' : `${right} of ${of} = ${percent(right / of)}`;
  return table(
    ['photos', 'plain fabric: stitches', 'plain fabric: gauge', 'all: stitches', 'all: gauge'],
    [...groups, ...halves].map(([name, own]) => {
      const plain = tallyOf(name, own.filter(isPlain));
      const all = tallyOf(name, own);
      return [
        name,
        share(plain.stitchesRight, plain.photos),
        share(plain.gaugeRight, plain.referenced),
        share(all.stitchesRight, all.photos),
        share(all.gaugeRight, all.referenced),
      ];
    }),
  );
};

/** What went wrong in a drawn photo, in a few words, with its picture. */
const failureCell = (row: BenchRow): string => {
  const said = [row.stitchError, row.gaugeError].map(
    (error) => `${signed(error?.stitches)}, ${signed(error?.rows)}`,
  );
  const what = !isWithin(row)
    ? `${Number.isFinite(worst(row.stitchError)) ? `stitches ${said[0]} %` : 'no stitches'}, ${row.stitchStatus}`
    : row.scaleError === null
      ? `${row.referenceKind} not found`
      : `gauge ${said[1]} %, ${row.referenceKind} ${signed(row.scaleError)} %`;
  const picture = `tests/bench/results/failures/${pictureName(row.name)}`;
  return `<a href="${picture}"><img src="${picture}" width="110" alt="${row.name}, ${row.kind}"></a><br><sub>${row.name}: ${what}</sub>`;
};

/** Every drawn photo that came out wrong, by kind. */
const failureGallery = (rows: readonly BenchRow[]): string => {
  const drawn = rows.filter((row) => row.set === 'generated');
  const kinds = [...new Set(drawn.map((row) => row.kind))];
  return table(
    [
      'kind',
      'wrong',
      'stitches not within 1 %',
      'stitches right, but not the scale or the height of the fabric',
    ],
    kinds.flatMap((kind) => {
      const own = drawn.filter((row) => row.kind === kind);
      const wrong = own.filter((row) => !isRight(row));
      if (wrong.length === 0) return [];
      return [
        [
          kind,
          `${wrong.length} of ${own.length}`,
          wrong
            .filter((row) => !isWithin(row))
            .map(failureCell)
            .join('<br>'),
          wrong
            .filter((row) => isWithin(row))
            .map(failureCell)
            .join('<br>'),
        ],
      ];
    }),
  );
};

/** The few lines that the README quotes. */
export const accuracyDigest = (rows: readonly BenchRow[]): string => {
  const groups = [...new Set(rows.map(groupOf))];
  const covered = coverage(rows);
  return [
    kindTable(
      groups.map(
        (group) =>
          summariesBy(
            rows.filter((row) => groupOf(row) === group),
            () => group,
          )[0] as KindSummary,
      ),
    ),
    '',
    'Both densities within 1 %, nothing touched by hand; a reference that is not found counts as a miss:',
    '',
    tallyTable(rows),
    '',
    `Truth inside the ± at 95 %: ${percent(covered.share, 1)} of ${covered.of} densities.`,
    '',
    scaleTable(rows),
    '',
    '<details><summary>Every drawn photo that came out wrong, by kind</summary>',
    '',
    failureGallery(rows),
    '',
    '</details>',
  ].join('\n');
};
