import { describe, expect, it } from 'vitest';
import { sidesAlike } from '../../workers/scale/sideColours';
import type { MeasuredSide } from '../../workers/scale/sides';

const side = (face: readonly number[], ground: readonly number[]): MeasuredSide => ({
  places: [],
  seenShare: 1,
  step: 0,
  openPx: 0,
  colours: { face, ground },
});

const [purple, wood, darkWood] = [
  [140, 90, 110],
  [190, 130, 90],
  [120, 82, 56],
];

describe('the sides of a thing', () => {
  it('part one face from one ground, also where a shadow lies on part of it', () => {
    const sides = [side(purple, wood), side(purple, wood), side(purple, darkWood), side(purple, wood)];
    expect(sidesAlike(sides)).toBeGreaterThan(0.5);
  });

  it('do not where one of them has the ground inside and the thing outside', () => {
    const sides = [side(purple, wood), side(wood, purple), side(purple, wood), side(purple, wood)];
    expect(sidesAlike(sides)).toBeLessThan(0);
  });

  it('say nothing where their colours were not looked at', () => {
    const { colours: _, ...bare } = side(purple, wood);
    expect(sidesAlike([side(purple, wood), bare])).toBeNull();
  });
});
