import { beforeAll, describe, expect, it } from 'vitest';
import { opencvReady } from '../../workers/opencv';
import { findStitches } from '../../workers/stitches/findStitches';
import { drawScene, type SceneSpec } from '../builders/scene';
import { evenFabric, evenScene } from '../builders/scene-plain';

/** One stitch dropped off needle 12 in course 10, run down over eight courses. */
const ladder = { needle: 12, course: 10, courses: 8 };

const withFabric = (part: Partial<SceneSpec['fabric']>): SceneSpec => ({
  ...evenScene,
  fabric: { ...evenFabric, ...part },
});

const look = (spec: SceneSpec) => {
  const { image, truth } = drawScene(spec);
  return { truth, finding: findStitches({ image, photoPxPerWorkPx: 1 }, { region: null }) };
};

describe('a stitch that was dropped', () => {
  beforeAll(opencvReady);

  for (const kind of ['plainKnit', 'plainPurl'] as const) {
    it(`is shown at its place, and changes no count (${kind})`, () => {
      const { truth, finding } = look(withFabric({ structure: { kind }, dropped: [ladder] }));
      expect(finding.disagreements).toHaveLength(1);
      const [at] = finding.disagreements;
      const wale = truth.wales.find((line) => line.index === ladder.needle)!.px;
      const toWale = Math.min(...wale.map(([x, y]) => Math.hypot(x - at!.x, y - at!.y)));
      expect(toWale).toBeLessThan(truth.pitchPx.wale);
      const middle = truth.courses.find((line) => line.index === ladder.course + 4)!.px;
      const toCourse = Math.min(...middle.map(([x, y]) => Math.hypot(x - at!.x, y - at!.y)));
      expect(toCourse).toBeLessThan(3 * truth.pitchPx.course);
      expect(Math.abs(finding.pitchPx!.wale / truth.pitchPx.wale - 1)).toBeLessThan(0.01);
      expect(Math.abs(finding.pitchPx!.course / truth.pitchPx.course - 1)).toBeLessThan(0.01);
    });
  }

  it('is not seen in whole fabric, be a shadow’s edge or a reflection across it', () => {
    const shadow = {
      at: [0.5, 0.5] as const,
      headingRad: 0.3,
      depth: 0.6,
      penumbraPx: 3,
    };
    const glare = { at: [0.5, 0.5] as const, radius: 0.06, strength: 0.6 };
    for (const light of [
      evenScene.light,
      { ...evenScene.light, hardShadow: shadow },
      { ...evenScene.light, glare },
    ]) {
      expect(look({ ...evenScene, light }).finding.disagreements).toEqual([]);
    }
  });
});
