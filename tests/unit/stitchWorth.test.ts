import { describe, expect, it } from 'vitest';
import { withoutExplained } from '../../workers/stitches/explained';
import {
  leansDown,
  liesOnItsSide,
  loweredToStitches,
  onItsOtherSide,
  ridgeShare,
  uprightShare,
} from '../../workers/stitches/turned';
import { worthiest } from '../../workers/stitches/worthiest';

const reading = (worth: number, wale: number, course: number) => ({
  worth,
  finding: { pitchPx: { wale, course } },
});
const nothing = { worth: 0, finding: { pitchPx: null } };

const template = (lean: number, leanDown: number, alongCourse: number, face: 'knit' | 'purl' = 'purl') => ({
  shift: { x: 0, y: 0 },
  face,
  lean,
  leanDown,
  alongCourse,
});

describe('a reading that another one explains', () => {
  const rib = (likelihood: number, course: number, oddWales: number, perRepeat?: number, wale = 20) => ({
    finding: { pitchPx: { wale, course } },
    likelihood,
    reading: {
      lattice: { gaps: [false, false, false], ...(perRepeat === undefined ? {} : { perRepeat }) },
      repeats: { oddWales: { every: 3, alike: oddWales } },
    },
  });

  it('is left out: a rib read as plain, once its repeat is found in the same courses', () => {
    const [plain, again, repeat] = [rib(0.98, 14.3, 0.7), rib(0.97, 14.28, 0.72), rib(0.99, 14.31, 1, 3)];
    expect(withoutExplained([plain, repeat, again])).toEqual([repeat]);
  });

  it('is left out where it takes two columns for one that is far too wide', () => {
    const [wide, again, repeat] = [
      rib(0.98, 14.3, 1, undefined, 40),
      rib(0.98, 14.3, 1, undefined, 40),
      rib(0.99, 14.3, 1, 3),
    ];
    expect(withoutExplained([wide, repeat, again])).toEqual([repeat]);
  });

  it('is kept where the repeat is less likely, lies in other courses, or the columns are alike', () => {
    const repeat = rib(0.9, 14.3, 1, 3);
    const likelier = rib(0.98, 14.3, 0.7);
    const other = rib(0.8, 11, 0.7);
    const alike = rib(0.8, 14.3, 0.99);
    expect(withoutExplained([likelier, other, alike, repeat])).toEqual([likelier, other, alike, repeat]);
  });
});

describe('the reading that is taken of several', () => {
  it('is the worthiest where all differ, and none where there is none', () => {
    const sure = reading(30, 12, 9);
    expect(worthiest([reading(10, 6, 9), sure, nothing])).toBe(sure);
    expect(worthiest([nothing])).toBe(nothing);
    expect(worthiest([])).toBeUndefined();
  });

  it('is one that others bear out, though a single other looks surer by itself', () => {
    const slipped = reading(30, 8.4, 6.3);
    const first = reading(20, 8.4, 5.6);
    expect(worthiest([slipped, first, reading(15, 8.35, 5.63)])).toBe(first);
    expect(worthiest([slipped, first, reading(15, 8.4, 5)])).toBe(slipped);
  });
});

describe('a poor reading that lies between good ones', () => {
  it('bears them out and is not taken itself', () => {
    const good = reading(30, 10, 7);
    const poor = reading(2, 10.12, 7.05);
    expect(worthiest([good, reading(29, 10.25, 7.1), poor])).toBe(good);
  });
});

describe('a lattice of square cells', () => {
  const square = { wale: { x: 20, y: 1 }, course: { x: -1, y: 19 } };
  const wide = { wale: { x: 20, y: 1 }, course: { x: -1, y: 14 } };

  it('lies on its side where the yarn leans both ways along the wales and not along the courses', () => {
    expect(liesOnItsSide(square, template(0.1, 0.6, -0.5, 'knit'))).toBe(true);
    expect(liesOnItsSide(square, template(0.1, 0.6, 0.5))).toBe(true);
    expect(liesOnItsSide(square, template(0.5, 0.1, 0.9))).toBe(false);
    expect(liesOnItsSide(square, template(0.6, 0.1, -0.5, 'knit'))).toBe(false);
  });

  it('lies on its side where the yarn runs along the wales and nothing else tells', () => {
    expect(liesOnItsSide(square, template(0.3, 0.3, -0.4, 'knit'))).toBe(true);
    expect(liesOnItsSide(wide, template(0.3, 0.3, -0.4, 'knit'))).toBe(false);
  });

  it('lies on its side, however wide its cells are, where the legs of stitches lean one way and the other down its wales', () => {
    expect(liesOnItsSide(wide, template(0.05, 1.2, 0.3))).toBe(true);
    expect(liesOnItsSide(wide, template(1.2, 0.05, -0.5, 'knit'))).toBe(false);
    expect(uprightShare(template(0.05, 1.2, 0.3))).toBe(0);
    expect(uprightShare(template(1.2, 0.05, -0.5, 'knit'))).toBe(1);
    expect(uprightShare(template(0.3, 0.55, -0.4, 'knit'))).toBe(1);
  });

  it('holds as many courses as make a usual stitch where it is higher than one', () => {
    const stripe = { wale: { x: 16, y: 2 }, course: { x: -3, y: 24 } };
    expect(loweredToStitches(stripe)).toEqual({ wale: stripe.wale, course: { x: -1.5, y: 12 } });
    const three = { wale: { x: 16, y: 0 }, course: { x: 0, y: 36 } };
    expect(loweredToStitches(three)).toEqual({ wale: three.wale, course: { x: 0, y: 12 } });
    expect(loweredToStitches(square)).toBeNull();
  });

  it('is no rib where the yarn leans both ways down its columns', () => {
    expect(leansDown(template(0.3, 0.7, -0.5, 'knit'))).toBe(true);
    expect(leansDown(template(0.63, 0.04, 0.1))).toBe(false);
    expect(leansDown(template(0.25, 0.27, -0.6, 'knit'))).toBe(false);
  });

  it('has its steps exchanged, wales still to the right and courses down', () => {
    const { wale, course } = onItsOtherSide(wide);
    expect(wale).toEqual({ x: 1, y: -14 });
    expect(course).toEqual({ x: 20, y: 1 });
    expect(wale.x * course.y - wale.y * course.x).toBeGreaterThan(0);
    expect(onItsOtherSide(onItsOtherSide(square))).toEqual(square);
  });

  it('is hardly knitting where the yarn runs as much down as across, as in a woven cloth', () => {
    expect(ridgeShare(0.95, template(0.45, 0.45, 0.3))).toBeLessThan(0.1);
    expect(ridgeShare(0.95, template(0.5, 0.1, 0.85))).toBe(1);
    expect(ridgeShare(1.4, template(0.45, 0.2, 0.3))).toBe(1);
    expect(ridgeShare(1.1, template(0.6, 0.1, -0.5, 'knit'))).toBe(1);
  });
});
