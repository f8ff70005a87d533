import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allYarnNumbers, texFrom, texOfLabel, type YarnNumber, yarnNumberFrom } from '../../src/domain/yarn';

describe('yarn numbers', () => {
  it('agree with the published example 20 tex = 29.525 Ne = 180 den = 50 Nm (GATE TF 1992)', () => {
    const all = allYarnNumbers('tex', 20);
    expect(all.cottonCount).toBeCloseTo(29.525, 1);
    expect(all.denier).toBeCloseTo(180, 10);
    expect(all.metricNumber).toBeCloseTo(50, 10);
    expect(all.dtex).toBeCloseTo(200, 10);
  });

  it('agree with the published constants tex = 590.54 / NeC = 1653.5 / NeL and den = 5314.9 / NeC', () => {
    expect(texFrom('cottonCount', 1)).toBeCloseTo(590.54, 2);
    expect(texFrom('linenLea', 1)).toBeCloseTo(1653.5, 1);
    expect(yarnNumberFrom(texFrom('cottonCount', 1), 'denier')).toBeCloseTo(5314.9, 1);
    expect(yarnNumberFrom(texFrom('cottonCount', 1), 'metricNumber')).toBeCloseTo(1.6934, 4);
    expect(yarnNumberFrom(texFrom('metricNumber', 1), 'cottonCount')).toBeCloseTo(0.5905, 4);
    expect(texFrom('cottonCount', 30)).toBeCloseTo(19.7, 1);
  });

  it('follow from 453.592 37 g and 0.9144 m for the other hanks', () => {
    expect(texFrom('worstedCount', 1)).toBeCloseTo(885.812, 3);
    expect(texFrom('woollenRun', 1)).toBeCloseTo(310.034, 3);
    expect(texFrom('yardsPerPound', 1)).toBeCloseTo(496_054.65, 2);
  });

  it('have Nm × den = 9000, not the nine million that is printed in places', () => {
    expect(yarnNumberFrom(37, 'metricNumber') * yarnNumberFrom(37, 'denier')).toBeCloseTo(9000, 9);
  });

  it('read labels: 420 m per 100 g is 238.1 tex, 152 m per 50 g is 328.95 tex', () => {
    expect(texFrom('metresPer100g', 420)).toBeCloseTo(238.1, 2);
    expect(yarnNumberFrom(texFrom('metresPer100g', 420), 'metricNumber')).toBeCloseTo(4.2, 10);
    expect(texFrom('metresPer50g', 210)).toBeCloseTo(238.1, 2);
    expect(texOfLabel(152, 50)).toBeCloseTo(328.95, 2);
    expect(texFrom('metresPer100g', 400)).toBeCloseTo(250, 10);
  });

  it('have 1 m/g = 31 yd/oz and m/kg = 2.016 yd/lb', () => {
    const tex = texOfLabel(1, 1);
    expect(yarnNumberFrom(tex, 'yardsPerOunce')).toBeCloseTo(31.003, 3);
    expect(1000 / yarnNumberFrom(tex, 'yardsPerPound')).toBeCloseTo(2.01591, 5);
    expect(yarnNumberFrom(texFrom('metresPer100g', 420), 'yardsPerPound')).toBeCloseTo(2083, 0);
  });

  it('come back from tex unchanged, whichever was given', () => {
    const systems = Object.keys(allYarnNumbers('tex', 1)) as YarnNumber[];
    fc.assert(
      fc.property(
        fc.constantFrom(...systems),
        fc.double({ min: 0.1, max: 5000, noNaN: true }),
        (system, value) => {
          const all = allYarnNumbers(system, value);
          expect(all[system]).toBe(value);
          for (const other of systems) expect(texFrom(other, all[other]) / all.tex).toBeCloseTo(1, 10);
        },
      ),
    );
  });

  it('refuse what is no yarn', () => {
    for (const value of [0, -1, Number.NaN, Infinity]) {
      expect(() => texFrom('tex', value)).toThrow(RangeError);
      expect(() => texOfLabel(100, value)).toThrow(RangeError);
    }
  });
});
