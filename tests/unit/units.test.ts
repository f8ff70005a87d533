import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decimalsFor,
  formatDecimals,
  formatJudged,
  formatJudgedPercent,
  formatLength,
  formatUncertain,
  formatUncertainLength,
  inchesToMm,
  mmToInches,
  per10CmToPerMm,
  perInchToPerMm,
  perMmToPer10Cm,
  perMmToPerInch,
  scaleUncertain,
} from '../../src/domain/units';

describe('lengths and densities', () => {
  it('follow the table of conversion factors in 16 CFR 500.19', () => {
    expect(inchesToMm(1)).toBe(25.4);
    expect(mmToInches(1)).toBeCloseTo(0.03937, 5);
    expect(mmToInches(10)).toBeCloseTo(0.393701, 6);
    expect(inchesToMm(36)).toBeCloseTo(914.4, 10);
    expect(inchesToMm(1 / 64)).toBe(0.396875);
  });

  it('turn 30 per 10 cm into 7.62 per inch and 42 into 10.668', () => {
    expect(perMmToPerInch(per10CmToPerMm(30))).toBeCloseTo(7.62, 12);
    expect(perMmToPerInch(per10CmToPerMm(42))).toBeCloseTo(10.668, 12);
  });

  it('turn 28 per 4 inches into 27.559 per 10 cm, for 4 inches are not 10 cm', () => {
    expect(perMmToPer10Cm(perInchToPerMm(28 / 4))).toBeCloseTo(27.559, 3);
  });

  it('come back unchanged from a round trip', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (v) => {
        expect(mmToInches(inchesToMm(v)) / v).toBeCloseTo(1, 12);
        expect(perMmToPerInch(perInchToPerMm(v)) / v).toBeCloseTo(1, 12);
        expect(perMmToPer10Cm(per10CmToPerMm(v)) / v).toBeCloseTo(1, 12);
      }),
    );
  });

  it('keep a ± positive when the factor is negative', () => {
    expect(scaleUncertain({ value: 2, plusMinus95: 0.5 }, -2)).toEqual({ value: -4, plusMinus95: 1 });
  });
});

describe('numbers with their ±', () => {
  it('are rounded as in the examples of JCGM 100:2008, 7.2.2 and 7.2.6', () => {
    // m_S = (100.021 47 ± 0.000 79) g: the Guide keeps two digits, we keep one from 0.3 up, so value and ± end at the same place.
    expect(formatUncertain(100.02147, 0.00079)).toBe('100.0215 ± 0.0008');
    // 7.2.6: 10.057 62 Ω with 27 mΩ is rounded to 10.058 Ω.
    expect(formatUncertain(10.05762, 0.027)).toBe('10.058 ± 0.027');
  });

  it('read as a knitter expects', () => {
    expect(formatUncertain(8.083, 0.06)).toBe('8.08 ± 0.06');
    expect(formatUncertain(8.083, 0.14)).toBe('8.08 ± 0.14');
    expect(formatUncertain(11, 0.1)).toBe('11.00 ± 0.10');
    expect(formatUncertain(31.82, 3.4)).toBe('32 ± 3');
    expect(formatUncertain(8083, 120)).toBe('8080 ± 120');
    expect(formatUncertain(-0.0001, 0.05)).toBe('0.00 ± 0.05');
    expect(formatJudgedPercent(0.0231, 0.009)).toBe('2.3 % ± 0.9 %');
  });

  it('carry a ± that rounds up to the next power of ten', () => {
    expect(formatUncertain(5, 0.0996)).toBe('5.00 ± 0.10');
    expect(decimalsFor(0.0996)).toBe(2);
  });

  it('stop at five decimal places, where perfect lines would claim more, and never round a ± away', () => {
    expect(formatUncertain(1.434782608697, 1.1e-14)).toBe('1.43478 ± 0.00001');
    expect(formatUncertain(1.434782608697, 0.000012)).toBe('1.43478 ± 0.00001');
    expect(formatJudgedPercent(0.069049480346, 9e-15)).toBe('6.90495 % ± 0.00001 %');
  });

  it('never claim a ± that is not known', () => {
    expect(formatUncertain(8.083, Infinity)).toBe('about 8.1');
    expect(formatUncertain(8.083, Number.NaN)).toBe('about 8.1');
    expect(formatUncertain(Number.NaN, 1)).toBe('unknown');
    expect(formatUncertain(8, 0)).toBe('8 ± 0');
  });

  it('stay within half a shown step of the value, and show one or two digits of the ±', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-4, max: 1e3, noNaN: true }),
        (value, plusMinus) => {
          const [v, u] = formatUncertain(value, plusMinus).split(' ± ').map(Number) as [number, number];
          const step = 10 ** -decimalsFor(plusMinus);
          expect(Math.abs(v - value)).toBeLessThanOrEqual(step * 0.5000001);
          expect(Math.abs(u - plusMinus)).toBeLessThanOrEqual(step * 0.5000001);
          const digits = Math.round(u / step);
          expect(digits).toBeGreaterThanOrEqual(1);
          expect(digits).toBeLessThanOrEqual(30);
        },
      ),
    );
  });

  it('never contradict the verdict that stands beside them', () => {
    expect(formatJudgedPercent(0.0031, 0.0029)).toBe('0.31 % ± 0.29 %');
    expect(formatJudged(0.62, 0.58)).toBe('0.62 ± 0.58');
    expect(formatJudged(0.58, 0.62)).toBe('0.6 ± 0.6');
    expect(formatJudged(2.3, 0.9)).toBe('2.3 ± 0.9');
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: -0.5, max: 0.5, noNaN: true }),
        (plusMinus, share) => {
          const value = plusMinus * (1 + share);
          fc.pre(Math.abs(share) > 0.02);
          const [v = 0, u = 0] = formatJudged(value, plusMinus).split(' ± ').map(Number);
          expect(v > u).toBe(value > plusMinus);
        },
      ),
    );
  });

  it('show one length with the same digits by whatever unit it came', () => {
    const half = inchesToMm(0.1185);
    expect(formatLength(half, 'in')).toBe('0.1185 in');
    expect(formatLength(inchesToMm(0.1055), 'in')).toBe('0.1055 in');
    expect(formatLength((inchesToMm(0.118) + inchesToMm(0.119)) / 2, 'in')).toBe('0.1185 in');
    expect(formatLength(inchesToMm(0.1183), 'in')).toBe('0.118 in');
    expect(formatUncertainLength(half, inchesToMm(0.003), 'in')).toBe('0.1185 ± 0.0030 in');
    expect(formatUncertainLength(28.912, 0.05, 'mm')).toBe('28.91 ± 0.05 mm');
    for (const inches of [half / 25.4, half * (1 / 25.4), 0.1185 - 1e-15]) {
      expect(formatUncertain(inches, 0.003)).toBe('0.119 ± 0.003');
      expect(formatUncertain(-inches, 0.003)).toBe('-0.119 ± 0.003');
    }
  });

  it('show a length to the step of the unit', () => {
    expect(formatLength(28.575, 'in')).toBe('1.125 in');
    expect(formatLength(28.9, 'mm')).toBe('28.90 mm');
    expect(formatDecimals(-0.04, 1)).toBe('0.0');
  });
});
