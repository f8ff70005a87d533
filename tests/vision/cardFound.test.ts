import { describe, expect, it } from 'vitest';
import { invertHomography } from '../../src/domain/plane';
import { mapPoint } from '../../src/domain/planeFitAlgebra';
import { findReferences } from '../../workers/scale/references';
import { hintsFor, knitted, lying, type Paint, photograph, plain, scaleError } from './scaleScenes';

const camera = {
  widthPx: 1000,
  heightPx: 750,
  focal35Mm: 27,
  tiltDeg: 5,
  leanDeg: 20,
  turnDeg: 6,
  distanceMm: 230,
};
const cardPlace = { x: -55, y: 0, widthMm: 85.6, heightMm: 53.98, turnDeg: 0, cornerMm: 3.18 };
const tableCloth = plain([176, 160, 130]);

const cardIn = (paint: Paint, taken: Partial<typeof camera> = {}, noise?: number) => {
  const scene = photograph({ ...camera, ...taken }, paint, noise);
  const card = findReferences(scene.work, scene.photo, hintsFor()).find(({ kind }) => kind === 'card');
  return { scene, card };
};

describe('what lies there in the shape of a card', () => {
  it('is a card where streaks of the ground run on from its sides', () => {
    // Beside each short side lies a streak half as dark as the card, which goes on beyond the corners.
    const streaked: Paint = (x, y, blurMm) => {
      const beside = Math.abs(x - cardPlace.x) - cardPlace.widthMm / 2;
      return beside > 0 && beside < 2.5 ? [156, 140, 110] : tableCloth(x, y, blurMm);
    };
    const { scene, card } = cardIn(lying(plain([136, 120, 90]), streaked, cardPlace));
    expect(card).toBeDefined();
    if (card?.plane == null) return;
    const [x, y] = mapPoint(invertHomography(scene.photoToTable), cardPlace.x, cardPlace.y);
    expect(Math.abs(scaleError(card.plane.photoToPlane, scene.photoToTable, x, y))).toBeLessThan(0.004);
  });

  it('is none where it is knitted: only what is plain is taken for a card that nobody has told of', () => {
    const { card: knit } = cardIn(lying(knitted(3.2, 2.3, [190, 60, 70]), tableCloth, cardPlace));
    expect(knit).toBeUndefined();
    const { card: flat } = cardIn(lying(plain([190, 60, 70]), tableCloth, cardPlace));
    expect(flat?.score ?? 0).toBeGreaterThan(0.5);
  });

  it.each([
    ['through the wide lens of a phone that leaves its focal length out', { focal35Mm: 21, tiltDeg: 16 }, 6],
    ['in the noise of a dim room', { widthPx: 1600, heightPx: 1200, distanceMm: 190 }, 24],
  ])('is a card %s', (_, taken, noise) => {
    const { scene, card } = cardIn(lying(plain([60, 70, 95]), tableCloth, cardPlace), taken, noise);
    expect(card).toBeDefined();
    if (card?.plane == null) return;
    const [x, y] = mapPoint(invertHomography(scene.photoToTable), cardPlace.x, cardPlace.y);
    expect(Math.abs(scaleError(card.plane.photoToPlane, scene.photoToTable, x, y))).toBeLessThan(0.004);
  });
});
