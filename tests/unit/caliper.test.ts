import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { caliperLimitMm, evaluateReading, poolRepeatability, typedStepMm } from '../../src/domain/caliper';
import { readingCautions } from '../../src/domain/caliperCautions';
import { findSlip } from '../../src/domain/caliperSlip';
import { parseCaliper } from '../../src/domain/caliperText';
import type { CaliperReading } from '../../src/domain/records';

const repeat = (typed: string, unit: 'mm' | 'in') => ({
  typed,
  mm: Number(typed.replace(',', '.')) * (unit === 'in' ? 25.4 : 1),
});
const reading = (unit: 'mm' | 'in', ...typed: string[]): CaliperReading => ({
  landmarkId: null,
  unit,
  repeats: typed.map((text) => repeat(text, unit)),
});

describe('the limits of a digital caliper, DIN 862', () => {
  it('are those of the table for outside jaws', () => {
    expect([50, 100, 200, 600, 700, 1000].map((mm) => caliperLimitMm('outside', mm))).toEqual([
      0.02, 0.02, 0.03, 0.03, 0.04, 0.04,
    ]);
  });

  it('are 20 µm wider for inside and depth', () => {
    expect(caliperLimitMm('inside', 40)).toBeCloseTo(0.04, 12);
    expect(caliperLimitMm('depth', 300)).toBeCloseTo(0.05, 12);
  });

  it('refuse a length that no caliper shows', () => {
    expect(() => caliperLimitMm('depth', -1)).toThrow('between 0 and 1000 mm');
    expect(() => caliperLimitMm('depth', Number.NaN)).toThrow('between 0 and 1000 mm');
  });
});

describe('the doubt of a reading', () => {
  const part = (name: string, r: CaliperReading, jaw: 'outside' | 'depth') =>
    evaluateReading(r, jaw).budget.components.find((c) => c.name === name)?.standardUncertainty;

  it('turns limits into standard uncertainties by √3 (JCGM 100:2008, 4.3.7): 11.5, 23.1 and 2.9 µm', () => {
    const r = reading('mm', '28.91', '28.93', '28.92');
    expect(part('caliper', r, 'outside')).toBeCloseTo(0.0115, 4);
    expect(part('caliper', r, 'depth')).toBeCloseTo(0.0231, 4);
    expect(part('resolution', r, 'depth')).toBeCloseTo(0.0029, 4);
  });

  it('takes mean, spread and the mean’s own scatter from the repeats', () => {
    const r = evaluateReading(reading('mm', '28.90', '28.94', '28.92', '28.88', '28.96'), 'outside');
    expect(r.meanMm).toBeCloseTo(28.92, 10);
    expect(r.spreadMm).toBeCloseTo(0.08, 10);
    // s² = (4 + 4 + 0 + 16 + 16)·10⁻⁴ / 4 = 0.001, u = √(0.001 / 5).
    expect(r.budget.components[0]?.standardUncertainty).toBeCloseTo(Math.sqrt(0.0002), 12);
    expect(r.budget.components[0]?.degreesOfFreedom).toBe(4);
  });

  it('combines by quadrature with the Student factor of the effective degrees of freedom', () => {
    const r = evaluateReading(reading('mm', '28.90', '28.94', '28.92', '28.88', '28.96'), 'outside');
    const u = Math.sqrt(0.0002 + 0.02 ** 2 / 3 + 0.005 ** 2 / 3);
    expect(r.standardUncertaintyMm).toBeCloseTo(u, 12);
    const df = u ** 4 / (0.0002 ** 2 / 4);
    expect(r.budget.effectiveDegreesOfFreedom).toBeCloseTo(df, 8);
    // Cut to a whole number, 11; t(0.975; 11) = 2.201, tabulated.
    expect(Math.floor(df)).toBe(11);
    expect(r.plusMinus95Mm / u).toBeCloseTo(2.201, 3);
  });

  it('leaves out the caliper’s own limit where two readings by it are compared', () => {
    const r = evaluateReading(reading('mm', '28.91', '28.93', '28.92'), 'depth');
    expect(r.sameCaliperUncertaintyMm ** 2 + 0.04 ** 2 / 3).toBeCloseTo(r.standardUncertaintyMm ** 2, 12);
  });

  it('says that the scatter is assumed when there is one reading only', () => {
    const one = evaluateReading(reading('in', '0.897'), 'inside');
    expect(one.spreadMm).toBe(0);
    expect(one.budget.components[0]?.sentence).toContain('assumed');
    expect(one.plusMinus95Mm).toBeGreaterThan(0.1);
  });

  it('shrinks from one repeat to two, and to many', () => {
    const width = (n: number) =>
      evaluateReading(
        reading('mm', ...Array.from({ length: n }, (_, i) => (i % 2 ? '20.03' : '20.00'))),
        'depth',
      ).plusMinus95Mm;
    expect(width(2)).toBeLessThan(width(1));
    expect(width(4)).toBeLessThan(width(2));
    expect(width(9)).toBeLessThan(width(4));
  });

  it('learns the landmark’s scatter from earlier repeats', () => {
    const known = poolRepeatability([[1, 1.02], [5], [7, 7.02, 7.04]]);
    // (0.0002 + 0.0008) / 3
    expect(known?.sdMm).toBeCloseTo(Math.sqrt(0.001 / 3), 12);
    expect(known?.degreesOfFreedom).toBe(3);
    expect(poolRepeatability([[5], [6]])).toBeNull();
    const single = evaluateReading(reading('mm', '28.91'), 'outside', known);
    expect(single.budget.components[0]?.standardUncertainty).toBeCloseTo(Math.sqrt(0.001 / 3), 12);
  });

  it('is not made fine by one fine repeat beside a coarse one', () => {
    const repeats = [
      { typed: '1 1/8', mm: 28.575 },
      { typed: '1.125', mm: 28.575 },
    ];
    const { budget } = evaluateReading({ landmarkId: null, unit: 'in', repeats }, 'outside');
    const resolution = budget.components.find(({ name }) => name === 'resolution');
    // Half of the mean of an eighth and of 0.0005 in, over √3 (JCGM 100:2008, 4.3.7).
    expect(resolution?.standardUncertainty).toBeCloseTo(((1 / 8 + 0.0005) * 25.4) / 4 / Math.sqrt(3), 9);
  });

  it('is the same whichever unit was typed', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 800, max: 840 }), { minLength: 3, maxLength: 9 }), (n) => {
        const typed = n.map((v) => (v / 1000).toFixed(3));
        const inches = evaluateReading(reading('in', ...typed), 'depth');
        const mm = evaluateReading(reading('mm', ...typed.map((t) => String(Number(t) * 25.4))), 'depth');
        expect(inches.meanMm).toBeCloseTo(mm.meanMm, 9);
        expect(inches.budget.components[0]?.standardUncertainty).toBeCloseTo(
          mm.budget.components[0]!.standardUncertainty,
          9,
        );
      }),
    );
  });

  it('reads the display’s step off what was typed', () => {
    expect(typedStepMm('0.897', 'in')).toBeCloseTo(0.0127, 10);
    expect(typedStepMm('0.8975', 'in')).toBeCloseTo(0.0127, 10);
    expect(typedStepMm('28,91', 'mm')).toBe(0.01);
    expect(typedStepMm('28.9', 'mm')).toBe(0.1);
    expect(typedStepMm('1 1/8', 'in')).toBeCloseTo(3.175, 10);
    expect(typedStepMm('1⅛', 'in')).toBeCloseTo(3.175, 10);
    expect(typedStepMm('2.891 cm', 'mm')).toBeCloseTo(0.01, 10);
    expect(typedStepMm('28.91 mm', 'in')).toBe(0.01);
  });

  it('refuses a reading without a number', () => {
    expect(() => evaluateReading(reading('mm'), 'depth')).toThrow('at least one number');
  });
});

describe('gross slips while typing', () => {
  const slip = (unit: 'mm' | 'in', before: string[], now: string) =>
    findSlip(
      before.map((text) => repeat(text, unit)),
      repeat(now, unit),
      unit,
    );

  it('asks about 0.987 after 0.897, in inches, and sees the swapped digits', () => {
    const found = slip('in', ['0.897'], '0.987');
    expect(found?.cause).toBe('digitsSwapped');
    expect(found?.sentence).toMatch(/^0\.09 in apart; measure again\?/);
    expect(found?.sentence).toContain('0.897');
  });

  it('suggests a swap only where that would agree with the others as readings usually do', () => {
    // 29,19 would be 0.28 mm off: no better than a slip itself.
    expect(slip('mm', ['28,91'], '29,91')).toMatchObject({
      cause: 'apart',
      sentence: '1 mm apart; measure again?',
    });
    expect(slip('mm', ['28,95'], '29,85')?.sentence).toContain('28,95');
    // 28,98 is near enough for a landmark of usual scatter, but not for one that repeats to a hundredth.
    const known = { sdMm: 0.01, degreesOfFreedom: 10 };
    expect(slip('mm', ['28,91'], '29,88')?.cause).toBe('digitsSwapped');
    expect(findSlip([repeat('28,91', 'mm')], repeat('29,88', 'mm'), 'mm', known)?.cause).toBe('apart');
  });

  it('asks in millimetres when millimetres are typed, point or comma', () => {
    expect(slip('mm', ['28,91', '28,93'], '29,81')?.sentence).toMatch(/^0\.89 mm apart; measure again\?/);
  });

  it('names the decimal point, and the other unit', () => {
    expect(slip('mm', ['28.91'], '2.891')?.cause).toBe('decimalPoint');
    expect(slip('mm', ['28.91'], '1.138')?.cause).toBe('otherUnit');
    expect(slip('in', ['1.138'], '28.91')?.sentence).toContain('show mm?');
  });

  it('says no more than that they are apart when the cause is not plain', () => {
    expect(slip('in', ['0.896', '0.898'], '0.921')).toMatchObject({
      cause: 'apart',
      sentence: '0.024 in apart; measure again?',
    });
  });

  it('stays quiet about ordinary scatter and about a first reading', () => {
    expect(slip('in', ['0.897'], '0.901')).toBeNull();
    expect(slip('mm', ['28.91', '28.95'], '28.80')).toBeNull();
    expect(slip('mm', [], '28.80')).toBeNull();
  });

  it('is stricter where the landmark is known to repeat well', () => {
    const known = { sdMm: 0.01, degreesOfFreedom: 10 };
    const before = [repeat('28.91', 'mm')];
    expect(findSlip(before, repeat('28.75', 'mm'), 'mm', known)?.cause).toBe('apart');
    expect(findSlip(before, repeat('28.75', 'mm'), 'mm')).toBeNull();
  });

  it('catches every swap of two unlike leading digits that moves the reading by half a millimetre', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1000, max: 9899 }), fc.integer({ min: 0, max: 2 }), (n, place) => {
        const digits = [...String(n)];
        [digits[place], digits[place + 1]] = [digits[place + 1]!, digits[place]!];
        const text = (d: string[]) => `${d.slice(0, 2).join('')}.${d.slice(2).join('')}`;
        const right = text([...String(n)]);
        const wrong = text(digits);
        const found = slip('mm', [right], wrong);
        if (Math.abs(Number(right) - Number(wrong)) > 0.5) expect(found?.cause).toBe('digitsSwapped');
        if (right === wrong) expect(found).toBeNull();
      }),
    );
  });
});

describe('what a caliper shows, typed', () => {
  it('may be a fraction of an inch, and of a millimetre only when that is said', () => {
    for (const typed of ['1 1/8', '1⅛', '9/16 ', '1-1/8']) {
      expect(parseCaliper(typed, 'mm')).toMatchObject({ ok: false });
      expect(parseCaliper(typed, 'in')).toMatchObject({ ok: true, unit: 'in' });
    }
    // 1 1/8 in = 28.575 mm, an inch being 25.4 mm exactly (16 CFR 500.19).
    expect(parseCaliper('1 1/8 in', 'mm')).toEqual({ ok: true, mm: 28.575, unit: 'in' });
    expect(parseCaliper('1 1/2 mm', 'mm')).toEqual({ ok: true, mm: 1.5, unit: 'mm' });
    expect(parseCaliper('28,91', 'mm')).toMatchObject({ ok: true, unit: 'mm' });
  });

  it('is at most as long as the longest caliper of DIN 862, one metre', () => {
    expect(parseCaliper('1000 mm', 'mm').ok).toBe(true);
    expect(parseCaliper('1001 mm', 'mm')).toMatchObject({
      sentence: expect.stringContaining('No caliper is that long'),
    });
  });
});

describe('cautions where the caliper is used', () => {
  it('warn of needles and cam first, and of force on the depth rod', () => {
    expect(readingCautions('depth')[0]).toContain('hands clear of needles and cam');
    expect(readingCautions('depth')[1]).toContain('force moves the cam');
    expect(readingCautions('inside')[1]).not.toContain('rod');
  });
});
