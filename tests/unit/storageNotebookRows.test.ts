import { describe, expect, it } from 'vitest';
import type { GaugeSummary, Swatch } from '../../src/domain/records';
import { blankLandmark, blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';
import { toCard } from '../../src/storage/cards';
import { filterRows, joiner, type NotebookFilter, wholeNotebook } from '../../src/store/notebookRows';
import { toTable } from '../../src/store/notebookTable';

const yarns = [
  { ...blankYarn('Harbour sock'), id: 'harbour', colour: 'Færöer blue', fibre: 'wool', tex: 110 },
  { ...blankYarn('Pebble'), id: 'pebble', maker: 'Tern & Tide' },
];
const machines = [{ ...blankMachine('Loft machine'), id: 'loft', cylinderNeedles: [72] }];
const landmarks = [{ ...blankLandmark('loft', 'nut to plate'), id: 'nut' }];

/** Stitches per inch as a gauge summary; 1 inch is 25.4 mm. */
const gaugeOf = (stitchesPerInch: number): GaugeSummary => ({
  walesPerMm: { value: stitchesPerInch / 25.4, plusMinus95: 0.1 / 25.4 },
  coursesPerMm: { value: 11 / 25.4, plusMinus95: 0.1 / 25.4 },
  walesInWindow: 24,
  coursesInWindow: 30,
  status: 'measured',
});

const swatch = (id: string, change: Partial<Swatch>): Swatch => ({
  ...blankSwatch(),
  id,
  state: 'saved',
  createdAt: '2026-01-01T12:00:00.000Z',
  ...change,
});

const swatches = [
  swatch('a', {
    yarnId: 'harbour',
    machineId: 'loft',
    cylinderNeedles: 72,
    gauge: gaugeOf(8.1),
    restState: 'rested',
  }),
  swatch('b', {
    yarnId: 'pebble',
    gauge: gaugeOf(7.4),
    createdAt: '2026-01-03T12:00:00.000Z',
    notes: 'curly édge',
  }),
  swatch('c', { createdAt: '2026-01-02T12:00:00.000Z', notes: 'harbour trial' }),
  swatch('d', { gauge: gaugeOf(8.5), deletedAt: '2026-01-05T12:00:00.000Z' }),
  swatch('e', {
    state: 'draft',
    createdAt: '2025-12-30T12:00:00.000Z',
    yarnId: 'gone',
    reading: {
      landmarkId: 'nut',
      unit: 'mm',
      repeats: [
        { typed: '28.90', mm: 28.9 },
        { typed: '28.94', mm: 28.94 },
      ],
    },
  }),
];
const rows = swatches.map(toCard).map(joiner(yarns, machines, landmarks));
const found = (change: Partial<NotebookFilter>): string =>
  filterRows(rows, { ...wholeNotebook, ...change })
    .map((row) => row.card.id)
    .join('');

describe('finding swatches', () => {
  it.each([
    ['', 'bcae'],
    ['HARBOUR', 'ca'],
    ['harbour rested', 'a'],
    ['blue loft 72', 'a'],
    ['faeroer', ''],
    ['færoer', 'a'],
    ['edge', 'b'],
    ['tern tide', ''.concat('b')],
    ['8.1 stitches', 'a'],
    ['2026-01-02', 'c'],
    ['unfinished', 'e'],
    ['nut to plate', 'e'],
    ['nothing like it', ''],
  ])('by the words %j', (words, ids) => {
    expect(found({ words })).toBe(ids);
  });

  it('by yarn, machine, cylinder and state of the fabric', () => {
    expect(found({ yarnId: 'pebble' })).toBe('b');
    expect(found({ machineId: 'loft' })).toBe('a');
    expect(found({ cylinderNeedles: 72 })).toBe('a');
    expect(found({ restState: 'rested' })).toBe('a');
    expect(found({ restState: 'worn' })).toBe('');
    expect(found({ state: 'draft' })).toBe('e');
    expect(found({ state: 'saved' })).toBe('bca');
  });

  it('by a range of the gauge, its ends included', () => {
    expect(found({ stitchesFrom: 7.5, stitchesTo: 8.5 })).toBe('a');
    expect(found({ stitchesTo: 8 })).toBe('b');
    expect(found({ stitchesFrom: 7 })).toBe('ba');
  });

  it('by the days they were begun, both ends included', () => {
    const dayOfA = rows.find((row) => row.card.id === 'a')?.day ?? '';
    expect(dayOfA).toMatch(/^\d{4}-\d{2}-\d{2}$/);
    const days = (from: string | null, to: string | null) => [...found({ dayFrom: from, dayTo: to })].sort();
    expect(days(dayOfA, dayOfA)).toContain('a');
    expect([...days(null, dayOfA), ...days(dayOfA, null)].sort()).toEqual(
      [...days(null, null), ...days(dayOfA, dayOfA)].sort(),
    );
    expect(days('2999-01-01', null)).toEqual([]);
  });

  it('shows the deleted ones only when asked', () => {
    expect(found({ deleted: true })).toBe('d');
  });

  it('in each order, those without a gauge or a yarn last', () => {
    expect(found({ order: 'oldest' })).toBe('eacb');
    expect(found({ order: 'fewestStitches' })).toBe('bace');
    expect(found({ order: 'mostStitches' })).toBe('abce');
    expect(found({ order: 'yarn' })).toBe('abce');
  });

  it('takes the mean of the caliper readings', () => {
    expect(rows.find((row) => row.card.id === 'e')?.readingMm).toBeCloseTo(28.92, 10);
  });
});

describe('the notebook as a table', () => {
  it('has one line a swatch and a name for each column', () => {
    const table = toTable(filterRows(rows, wholeNotebook));
    expect(table.rows).toHaveLength(4);
    const a = Object.fromEntries(table.head.map((head, i) => [head, table.rows[2]?.[i]]));
    expect(a).toMatchObject({
      yarn: 'Harbour sock',
      tex: 110,
      machine: 'Loft machine',
      needles: 72,
      'stitches per inch': 8.1,
      'stitches per inch ±': 0.1,
      'rows per inch': 11,
      // 8.1 per inch is 8.1 / 25.4 · 100 per 10 cm.
      'stitches per 10 cm': 31.89,
      'caliper mm': null,
      fabric: 'rested',
    });
  });
});
