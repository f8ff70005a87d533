import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { initialView, reduceView, toPhotoPoint, toStage, type ViewSample } from '../../src/ui/stage/viewport';

const stage = { width: 390, height: 460 };
const photo = { width: 2000, height: 1500 };
const fresh = () => initialView(stage, photo);

describe('the view of the photo', () => {
  it('starts with the whole photo in sight, centred above the zoom buttons', () => {
    const { view } = fresh();
    const topLeft = toStage(view, photoPoint(0, 0));
    const bottomRight = toStage(view, photoPoint(2000, 1500));
    expect(topLeft.x).toBeGreaterThanOrEqual(0);
    expect(bottomRight.x).toBeLessThanOrEqual(stage.width);
    expect(topLeft.x + bottomRight.x).toBeCloseTo(stage.width, 6);
    expect(topLeft.y).toBeGreaterThanOrEqual(0);
    expect(topLeft.y + bottomRight.y).toBeCloseTo(stage.height - 52, 6);
  });

  it('turns stage places into photo places and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 2000, noNaN: true }),
        fc.double({ min: 0, max: 1500, noNaN: true }),
        fc.double({ min: 0.3, max: 4, noNaN: true }),
        (x, y, factor) => {
          const { view } = reduceView(fresh(), { kind: 'zoomBy', factor });
          const back = toPhotoPoint(view, toStage(view, photoPoint(x, y)));
          expect(back.x).toBeCloseTo(x, 6);
          expect(back.y).toBeCloseTo(y, 6);
        },
      ),
    );
  });

  it('keeps the photo point under the wheel where it is', () => {
    const before = fresh();
    const at = { x: 120, y: 200 };
    const held = toPhotoPoint(before.view, at);
    const after = reduceView(before, { kind: 'wheel', ...at, dx: 0, dy: -80, zoom: true });
    expect(after.view.scale).toBeGreaterThan(before.view.scale);
    expect(toStage(after.view, held).x).toBeCloseTo(at.x, 6);
    expect(toStage(after.view, held).y).toBeCloseTo(at.y, 6);
  });

  it('moves the photo with one finger only when no tool holds that finger', () => {
    const down = reduceView(fresh(), { kind: 'down', id: 1, x: 100, y: 100 });
    const held = reduceView(down, { kind: 'move', id: 1, x: 130, y: 90, pans: false });
    expect(held.view).toEqual(down.view);
    const panned = reduceView(down, { kind: 'move', id: 1, x: 130, y: 90, pans: true });
    expect(panned.view.x - down.view.x).toBeCloseTo(30, 9);
    expect(panned.view.y - down.view.y).toBeCloseTo(-10, 9);
  });

  it('doubles the scale when two fingers double their distance, about the point between them', () => {
    const samples: ViewSample[] = [
      { kind: 'down', id: 1, x: 150, y: 200 },
      { kind: 'down', id: 2, x: 250, y: 200 },
    ];
    const down = samples.reduce(reduceView, fresh());
    const held = toPhotoPoint(down.view, { x: 200, y: 200 });
    const spread: ViewSample[] = [
      { kind: 'move', id: 1, x: 100, y: 200, pans: true },
      { kind: 'move', id: 2, x: 300, y: 200, pans: true },
    ];
    const after = spread.reduce(reduceView, down);
    expect(after.view.scale / down.view.scale).toBeCloseTo(2, 6);
    expect(toStage(after.view, held).x).toBeCloseTo(200, 6);
    expect(toStage(after.view, held).y).toBeCloseTo(200, 6);
  });

  it('goes on panning with the finger that stays when the other is lifted', () => {
    const samples: ViewSample[] = [
      { kind: 'down', id: 1, x: 150, y: 200 },
      { kind: 'down', id: 2, x: 250, y: 200 },
      { kind: 'up', id: 1 },
    ];
    const one = samples.reduce(reduceView, fresh());
    const after = reduceView(one, { kind: 'move', id: 2, x: 260, y: 205, pans: true });
    expect(after.view.scale).toBe(one.view.scale);
    expect(after.view.x - one.view.x).toBeCloseTo(10, 9);
  });

  it('never loses the photo, whatever the input', () => {
    const sample = fc.oneof(
      fc.record({
        kind: fc.constant('panBy' as const),
        dx: fc.integer({ min: -9000, max: 9000 }),
        dy: fc.integer({ min: -9000, max: 9000 }),
      }),
      fc.record({
        kind: fc.constant('zoomBy' as const),
        factor: fc.double({ min: 0.01, max: 100, noNaN: true }),
      }),
    );
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 12 }), (samples) => {
        const { view } = samples.reduce<ReturnType<typeof fresh>>(reduceView, fresh());
        expect(view.x + photo.width * view.scale).toBeGreaterThan(0);
        expect(view.x).toBeLessThan(stage.width);
        expect(view.y + photo.height * view.scale).toBeGreaterThan(0);
        expect(view.y).toBeLessThan(stage.height);
      }),
    );
  });

  it('stays fitted when the stage changes size, until the user has moved it', () => {
    const wide = reduceView(fresh(), { kind: 'resize', stage: { width: 1000, height: 800 } });
    expect(wide.view.scale).toBeCloseTo(initialView({ width: 1000, height: 800 }, photo).view.scale, 9);
    const zoomed = reduceView(fresh(), { kind: 'zoomBy', factor: 3 });
    const turned = reduceView(zoomed, { kind: 'resize', stage: { width: 460, height: 390 } });
    expect(turned.view.scale).toBeCloseTo(zoomed.view.scale, 9);
    const centre = toPhotoPoint(zoomed.view, { x: 195, y: 230 });
    expect(toStage(turned.view, centre).x).toBeCloseTo(230, 6);
  });

  it('brings a point into sight without changing the scale', () => {
    const near = reduceView(fresh(), { kind: 'zoomBy', factor: 8 });
    const far = photoPoint(1950, 40);
    const after = reduceView(near, { kind: 'reveal', point: far });
    const at = toStage(after.view, far);
    expect(after.view.scale).toBe(near.view.scale);
    expect(at.x).toBeGreaterThan(0);
    expect(at.x).toBeLessThan(stage.width);
    expect(at.y).toBeGreaterThan(0);
    expect(at.y).toBeLessThan(stage.height);
  });
});
