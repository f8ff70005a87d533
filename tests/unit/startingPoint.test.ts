import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pitchFromLoopLength, startingPoint } from '../../src/domain/startingPoint';

describe('gauge from loop length', () => {
  it('solves the GATE textile paper of 2015, question 54: 5 mm, fully relaxed, 92.4 loops per cm²', () => {
    const { walePitchMm, coursePitchMm } = pitchFromLoopLength(5, 'washedAndDried');
    expect(10 / walePitchMm).toBeCloseTo(8.4, 10);
    expect(10 / coursePitchMm).toBeCloseTo(11, 10);
    expect(100 / (walePitchMm * coursePitchMm)).toBeCloseTo(92.4, 10);
    expect(25.4 / walePitchMm).toBeCloseTo(21.336, 10);
    expect(25.4 / coursePitchMm).toBeCloseTo(27.94, 10);
  });
});

describe('a starting point for a yarn without a swatch', () => {
  it('takes the loop length from the usual tightness factors 1.3 to 1.5', () => {
    const { loopLengthMm } = startingPoint(225);
    expect(loopLengthMm.looser * 1.3).toBeCloseTo(15, 10);
    expect(loopLengthMm.tighter * 1.5).toBeCloseTo(15, 10);
  });

  it('comes out tighter than the label of a 420 m per 100 g yarn, whose own tightness factor is 1.10', () => {
    // Label: 30 stitches per 10 cm; loop length 14 mm by Munden's fully relaxed constant.
    const tex = 1e5 / 420;
    expect(Math.sqrt(tex) / 14).toBeCloseTo(1.102, 3);
    expect(startingPoint(tex).walesPerInch.looser).toBeGreaterThan(7.62);
    expect(startingPoint(tex).walesPerInch.looser).toBeLessThan(7.62 * 1.25);
  });

  it('says what it rests on and that a swatch is better', () => {
    const start = startingPoint(238);
    expect(start.sentence).toContain('238 tex');
    expect(start.sentence).toContain('one swatch of the yarn is worth more');
    expect(start.sources.join()).toContain('Munden');
  });

  it('always runs from tighter to looser, and a heavier yarn has fewer stitches', () => {
    fc.assert(
      fc.property(fc.double({ min: 20, max: 2000, noNaN: true }), (tex) => {
        const start = startingPoint(tex);
        expect(start.loopLengthMm.tighter).toBeLessThan(start.loopLengthMm.usual);
        expect(start.walesPerInch.tighter).toBeGreaterThan(start.walesPerInch.looser);
        expect(startingPoint(tex * 1.1).walesPerInch.usual).toBeLessThan(start.walesPerInch.usual);
      }),
    );
  });

  it('asks for the yarn’s weight when there is none', () => {
    expect(() => startingPoint(0)).toThrow('weight is needed');
    expect(() => startingPoint(Number.NaN)).toThrow('weight is needed');
  });
});
