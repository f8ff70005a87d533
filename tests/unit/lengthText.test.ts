import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LengthUnit, parseLength } from '../../src/domain/lengthText';

const mmOf = (text: string, usual: LengthUnit | null = null): number => {
  const parsed = parseLength(text, usual);
  if (!parsed.ok) throw new Error(`${text}: ${parsed.sentence}`);
  return parsed.mm;
};

const refusal = (text: string, usual: LengthUnit | null = 'mm'): string => {
  const parsed = parseLength(text, usual);
  if (parsed.ok) throw new Error(`${text} was read as ${parsed.mm} mm`);
  return parsed.sentence;
};

describe('a typed length', () => {
  it.each<[string, LengthUnit | null, number]>([
    ['1 1/8', 'in', 28.575],
    ['1-1/8', 'in', 28.575],
    ['1 - 1/8', 'in', 28.575],
    ['1 1/8"', null, 28.575],
    ['1⅛ in', null, 28.575],
    ['1 1⁄8 inches', null, 28.575],
    ['9/16', 'in', 14.2875],
    ['9 / 16 in.', null, 14.2875],
    ['½″', null, 12.7],
    ['0.987', 'in', 25.0698],
    ['0,987', 'in', 25.0698],
    ['.5', 'in', 12.7],
    ['28.9 mm', 'in', 28.9],
    ['28,9mm', null, 28.9],
    ['1.125in', 'mm', 28.575],
    ['1.125 Inch', 'mm', 28.575],
    ["1.125''", 'mm', 28.575],
    ['2,54 cm', 'in', 25.4],
    ['2.54 centimetres', null, 25.4],
    ['12 millimeters', null, 12],
    ['  3\u00a0mm ', null, 3],
    ['5.', 'mm', 5],
  ])('%s (usually %s) is %f mm', (text, usual, mm) => {
    expect(mmOf(text, usual)).toBeCloseTo(mm, 9);
  });

  it('follows the exact ruler ticks: 1/16, 1/8, 1/32 and 1/64 inch (16 CFR 500.19: 1 in = 2.54 cm)', () => {
    expect(['1/16"', '1/8"', '1/32"', '1/64"'].map((t) => mmOf(t))).toEqual([
      1.5875, 3.175, 0.79375, 0.396875,
    ]);
  });

  it('keeps the unit it was typed in', () => {
    expect(parseLength('2 cm', 'in')).toEqual({ ok: true, mm: 20, unit: 'cm' });
    expect(parseLength('2', 'in')).toEqual({ ok: true, mm: 50.8, unit: 'in' });
  });

  it('is refused with a reason, never guessed', () => {
    expect(refusal('')).toContain('Type a length');
    expect(refusal('   ')).toContain('Type a length');
    expect(refusal('1.125', null)).toContain('1.125 mm or 1.125 in');
    expect(refusal('1/0')).toContain('0 below');
    expect(refusal('1 9/8 in')).toContain('less than one');
    expect(refusal('-3 mm')).toContain('more than zero');
    expect(refusal('−3')).toContain('more than zero');
    expect(refusal('0')).toContain('more than zero');
    expect(refusal('0/5 in')).toContain('more than zero');
    expect(refusal('1,000.5')).toContain('more than one decimal sign');
    expect(refusal('1.2.3 mm')).toContain('more than one decimal sign');
    expect(refusal("2'")).toContain('Feet');
    expect(refusal('two inches')).toContain('not a length');
    expect(refusal('in')).toContain('not a length');
    expect(refusal('1e3 mm')).toContain('not a length');
    expect(refusal('99999 cm')).toContain('ten metres');
    expect(refusal('1 2 mm')).toContain('not a length');
  });
});

describe('any length', () => {
  it('is the same with a point as with a comma, in every unit', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 300 }),
        fc.integer({ min: 1, max: 999 }),
        fc.constantFrom<LengthUnit>('mm', 'cm', 'in'),
        (whole, thousandths, unit) => {
          const digits = String(thousandths).padStart(3, '0');
          const expected = Number(`${whole}.${digits}`) * { mm: 1, cm: 10, in: 25.4 }[unit];
          expect(mmOf(`${whole}.${digits} ${unit}`)).toBeCloseTo(expected, 9);
          expect(mmOf(`${whole},${digits}`, unit)).toBeCloseTo(expected, 9);
        },
      ),
    );
  });

  it('is the same as a mixed fraction as it is as a decimal', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 40 }),
        fc.constantFrom(2, 4, 8, 16, 32, 64),
        fc.integer({ min: 1, max: 63 }),
        (whole, bottom, n) => {
          const top = 1 + (n % (bottom - 1 || 1));
          fc.pre(top < bottom);
          const expected = (whole + top / bottom) * 25.4;
          expect(mmOf(`${whole} ${top}/${bottom} in`)).toBeCloseTo(expected, 9);
          expect(mmOf(`${whole}-${top}/${bottom}"`)).toBeCloseTo(expected, 9);
        },
      ),
    );
  });

  it('is either a positive finite number of mm or a sentence, whatever is typed', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), fc.stringMatching(/^[0-9 .,/"'incm-]{0,12}$/)),
        fc.constantFrom<LengthUnit | null>('mm', 'in', null),
        (text, usual) => {
          const parsed = parseLength(text, usual);
          if (parsed.ok) {
            expect(parsed.mm).toBeGreaterThan(0);
            expect(parsed.mm).toBeLessThanOrEqual(10_000);
          } else {
            expect(parsed.sentence).toMatch(/[.?]$/);
          }
        },
      ),
    );
  });
});
