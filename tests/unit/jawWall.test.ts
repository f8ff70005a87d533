import { describe, expect, it } from 'vitest';
import type { JawView } from '../../workers/scale/jawProfile';
import { facesByWall, wallStepPx } from '../../workers/scale/jawWall';
import { jawViewOf } from '../builders/jawView';

const METAL = 200;
const WALL = 160;
const GROUND = 60;

/** Share of a step at 0 that lies before x after a blur of 1 px: the upper tail of the normal distribution, summed. */
const before = (x: number): number => {
  let sum = 0;
  for (let t = x + 0.005; t < 6; t += 0.01) sum += (Math.exp(-0.5 * t * t) / Math.sqrt(2 * Math.PI)) * 0.01;
  return sum;
};

/** A jaw whose face ends at 0 and whose wall shows for so many px beyond it. */
const jaw = (wallPx: number): JawView =>
  jawViewOf({ x: 0, y: 0 }, { fromPx: -20, samples: 90 }, (px) => {
    const value = GROUND + (WALL - GROUND) * before(px - wallPx) + (METAL - WALL) * before(px);
    return [value, value, value];
  });

const likeliest = (wallPx: number, seemsAt: number) => {
  const faces = facesByWall(jaw(wallPx), seemsAt, 12);
  const cost = Math.min(...faces.map((face) => face.cost));
  const index = faces.findIndex((face) => face.cost === cost);
  return { faces, wall: index * wallStepPx, at: faces[index]?.at ?? Number.NaN };
};

describe('the wall below a jaw’s face', () => {
  it.each([4, 6, 9])('is told from the face where it shows %d px wide', (wallPx) => {
    const { wall, at } = likeliest(wallPx, 0.2);
    expect(Math.abs(wall - wallPx)).toBeLessThanOrEqual(0.5);
    expect(Math.abs(at)).toBeLessThan(0.25);
  });

  it('is no wall where the face’s edge overhangs it', () => {
    const { faces, wall } = likeliest(0, 0.1);
    expect(wall).toBeLessThanOrEqual(2 * wallStepPx);
    expect(Math.abs(faces[0]?.at ?? Number.NaN)).toBeLessThan(0.25);
  });

  it('puts the face’s edge further out the wider the wall is taken to be that blends into it', () => {
    const wallPx = 1.5;
    // A dark ground makes the foot of the wall the strongest edge: that is where the two seem to be one.
    const { faces } = likeliest(wallPx, 1.2);
    const [asFace, asBlend] = [faces[0]?.at ?? 0, faces[wallPx / wallStepPx]?.at ?? 0];
    expect(asFace).toBeGreaterThan(0.7);
    expect(Math.abs(asBlend)).toBeLessThan(0.4);
  });
});
