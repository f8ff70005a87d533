import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createSharedView, type SharedView } from '../../src/features/compare/stage/sharedView';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'requestAnimationFrame'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const measured = (): SharedView => {
  const view = createSharedView({ width: 1200, height: 900 });
  view.send({ kind: 'resize', stage: { width: 400, height: 300 } });
  vi.advanceTimersToNextFrame();
  return view;
};

/** Long enough for a view to count as resting, ms. */
const A_WHILE = 1000;

describe('the view that all pictures share', () => {
  it('is not settled before the stage has told its size', () => {
    const view = createSharedView({ width: 1200, height: 900 });
    expect(view.settled()).toBe(false);
    view.send({ kind: 'resize', stage: { width: 400, height: 300 } });
    expect(view.settled()).toBe(false);
    vi.advanceTimersToNextFrame();
    expect(view.settled()).toBe(true);
  });

  it('is unsettled from the very sample that moves it until the pictures are asked to be drawn for it', () => {
    const view = measured();
    const rests = vi.fn();
    view.onRest(rests);
    view.send({ kind: 'panBy', dx: 30, dy: 0 });
    expect(view.settled()).toBe(false);
    vi.advanceTimersToNextFrame();
    expect(view.settled()).toBe(false);
    expect(rests).not.toHaveBeenCalled();
    vi.advanceTimersByTime(A_WHILE);
    expect(rests).toHaveBeenCalledTimes(1);
    expect(view.settled()).toBe(true);
    expect(view.rested().view).toEqual(view.shown().view);
  });

  it('asks for no drawing while it moves, and tells of a move once a frame at most', () => {
    const view = measured();
    const [frames, rests] = [vi.fn(), vi.fn()];
    view.onFrame(frames);
    view.onRest(rests);
    for (let frame = 0; frame < 20; frame += 1) {
      for (let sample = 0; sample < 3; sample += 1) view.send({ kind: 'panBy', dx: 2, dy: 1 });
      vi.advanceTimersToNextFrame();
    }
    expect(frames).toHaveBeenCalledTimes(20);
    expect(rests).not.toHaveBeenCalled();
  });

  it('shows whole px of the screen, so that a moved drawing stays sharp', () => {
    const view = measured();
    view.send({ kind: 'panBy', dx: 10.37, dy: -4.81 });
    vi.advanceTimersToNextFrame();
    const { x, y } = view.shown().view;
    expect(Number.isInteger(x * window.devicePixelRatio)).toBe(true);
    expect(Number.isInteger(y * window.devicePixelRatio)).toBe(true);
    expect(Math.abs(x - view.current.current.view.x)).toBeLessThanOrEqual(0.5);
  });

  it('asks for a drawing at once when the stage gets another size', () => {
    const view = measured();
    const rests = vi.fn();
    view.onRest(rests);
    view.send({ kind: 'resize', stage: { width: 800, height: 300 } });
    vi.advanceTimersToNextFrame();
    expect(rests).toHaveBeenCalledTimes(1);
    expect(view.rested().stage).toEqual({ width: 800, height: 300 });
  });
});
