import { describe, expect, it } from 'vitest';
import type { JawView } from '../../workers/scale/jawProfile';
import { areJawsOfOne, isOutlineBeyond, sidesOf } from '../../workers/scale/jawSides';
import { jawViewOf } from '../builders/jawView';

type Colour = readonly [number, number, number];
const STEEL: Colour = [190, 192, 196];
const SHADED_STEEL: Colour = [105, 106, 108];
const WOOD: Colour = [170, 120, 80];

/** Across an edge at 0, outside in: one colour and then another. */
const edge = (outer: Colour, inner: Colour): JawView =>
  jawViewOf({ x: 60, y: 60 }, { fromPx: -30, samples: 110 }, (px) => (px < 0 ? outer : inner));

const jawsOfOne = (first: JawView, second: JawView): boolean =>
  areJawsOfOne(sidesOf(first, 0), sidesOf(second, 0));

describe('the two sides of a jaw’s edge', () => {
  it('are those of one caliper where the far sides are of one metal, one of them in shade', () => {
    expect(jawsOfOne(edge(STEEL, WOOD), edge(SHADED_STEEL, WOOD))).toBe(true);
  });

  it('are not where one far side is metal and the other the table', () => {
    expect(jawsOfOne(edge(STEEL, WOOD), edge(WOOD, STEEL))).toBe(false);
  });

  it('are not where the metal lies inward on both sides, as it does from the outer edges of the jaws', () => {
    expect(jawsOfOne(edge(WOOD, STEEL), edge(WOOD, STEEL))).toBe(false);
  });
});

describe('the metal beyond a jaw’s edge', () => {
  /** A picture that is bright to the left of one place across and dark to its right, with a fainter step at another. */
  const picture = (clearAt: number, faintAt: number) => {
    const data = new Uint8ClampedArray(4 * 120 * 120);
    for (let i = 0; i < 120 * 120; i++) {
      const x = i % 120;
      const value = (x < clearAt ? 190 : 90) - (x < faintAt ? 0 : 30);
      data.set([value, value, value, 255], 4 * i);
    }
    return { data, widthPx: 120, heightPx: 120 };
  };
  const found = (strength: number) => ({
    view: edge(STEEL, WOOD),
    edge: { at: 0, strength, lasting: strength },
  });

  it('has no outline in it where the edge is the jaw’s own', () => {
    expect(isOutlineBeyond(picture(60, 61), found(100), 200)).toBe(false);
  });

  it('has one where a line on the table was taken for the edge and the jaw ends further out', () => {
    expect(isOutlineBeyond(picture(42, 60), found(30), 200)).toBe(true);
  });
});
