import 'fake-indexeddb/auto';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { withStep } from '../../src/domain/referenceStep';
import { createStorage, type Storage } from '../../src/storage/repository';
import type { IncomingPhoto, Session } from '../../src/store/measureSessionTypes';
import type { VisionClient } from '../../src/store/visionClient';
import { VisionFailure } from '../../workers/contract';
import { flatMeasurement } from '../builders/flatMeasurement';
import { sessionOn as sessionWith, answeringVision as visionWith } from '../builders/flatSession';

const measurement = flatMeasurement();

const answeringVision = (over: Partial<VisionClient> = {}): VisionClient => visionWith(measurement, over);

const photo = (name = 'swatch.jpg'): IncomingPhoto => ({
  name,
  mime: 'image/jpeg',
  read: async () => new Uint8Array([0xff, 0xd8, 1, 2, 3]).buffer,
});

const opened: Storage[] = [];
let count = 0;
const freshStorage = (name = `session-${++count}`): Storage => {
  const storage = createStorage(name);
  opened.push(storage);
  return storage;
};
afterEach(() => {
  for (const storage of opened.splice(0)) storage.close();
});

const sessionOn = (storage: Storage, vision = answeringVision()): Session => sessionWith(storage, vision);

const state = (session: Session) => session.store.getState();
const confirmInch = (session: Session): void =>
  session.confirmScale(withStep(measurement.references[0]!, 25.4), 'user', null);

describe('a measuring session', () => {
  it('keeps the photo byte for byte and measures it', async () => {
    const storage = freshStorage();
    const session = sessionOn(storage);
    await session.openPhoto(photo());
    expect(state(session).swatch?.measurement).toBe(measurement);
    const kept = await storage.getPhoto(state(session).photo?.id ?? '');
    expect([...new Uint8Array(kept?.bytes ?? new ArrayBuffer(0))]).toEqual([0xff, 0xd8, 1, 2, 3]);
  });

  it('gives no gauge before the scale is confirmed, and the true one after', async () => {
    const session = sessionOn(freshStorage());
    await session.openPhoto(photo());
    expect(state(session).swatch?.gauge).toBeNull();
    confirmInch(session);
    const gauge = state(session).swatch?.gauge;
    // The grid was drawn with 8 and 11 to the inch; only the fabric's height, unknown here, may shift it.
    expect((gauge?.walesPerMm.value ?? 0) * 25.4).toBeCloseTo(8, 6);
    expect((gauge?.coursesPerMm.value ?? 0) * 25.4).toBeCloseTo(11, 6);
  });

  it('leaves what is open as it is when the next photo cannot be read, and says why', async () => {
    let broken = false;
    const vision = answeringVision({
      openPhoto: async () => {
        if (broken) throw new VisionFailure('photoTruncated', 'This photo breaks off; copy it again.');
        return measurement.photo;
      },
    });
    const session = sessionOn(freshStorage(), vision);
    await session.openPhoto(photo());
    confirmInch(session);
    const before = state(session).swatch;
    broken = true;
    await session.openPhoto(photo('broken.jpg'));
    expect(state(session).swatch).toBe(before);
    expect(state(session).problem).toBe('This photo breaks off; copy it again.');
  });

  it('changes nothing when the wait is cancelled', async () => {
    const vision = answeringVision({
      findStitches: (signal) =>
        new Promise((_, reject) => {
          signal.addEventListener('abort', () => reject(new VisionFailure('cancelled', 'Cancelled.')));
        }),
    });
    const session = sessionOn(freshStorage(), vision);
    await session.openPhoto(photo());
    const before = state(session).swatch;
    const looking = session.lookAgain(null);
    await vi.waitFor(() => expect(state(session).working).not.toBeNull());
    state(session).working?.cancel();
    await looking;
    expect(state(session)).toMatchObject({ swatch: before, working: null, problem: null });
  });

  it('comes back after a reload with scale, corrections, window, undo and redo', async () => {
    const name = `session-${++count}`;
    const first = freshStorage(name);
    const session = sessionOn(first);
    await session.openPhoto(photo());
    confirmInch(session);
    const at = measurement.stitches.grid!.wales[10]!.points[12]!;
    session.edit({ kind: 'removeLine', family: 'wale', at });
    session.edit({
      kind: 'splitLine',
      family: 'wale',
      at: measurement.stitches.grid!.wales[15]!.points[12]!,
    });
    const corners = measurement.stitches.window!.corners.map((c, i) => (i === 0 ? { ...c, x: c.x + 7 } : c));
    session.edit({ kind: 'setWindow', window: { corners } });
    session.edit({ kind: 'removeLine', family: 'course', at });
    session.undo();
    const before = state(session).swatch!;
    await first.flush();

    const again = sessionOn(freshStorage(name));
    await again.start(null);
    const after = state(again).swatch!;
    expect(after.edits).toEqual(before.edits);
    expect(after.undone).toEqual(before.undone);
    expect(after.window).toEqual({ corners });
    expect(after.scale).toEqual(before.scale);
    expect(after.gauge).toEqual(before.gauge);
    expect(again.derived()).toEqual(session.derived());
    again.redo();
    expect(again.derived()?.grid.courses).toHaveLength(39);
  });

  it('undoes and redoes as far as there is anything, and a new correction ends the redo', async () => {
    const session = sessionOn(freshStorage());
    await session.openPhoto(photo());
    const original = session.derived();
    const wales = measurement.stitches.grid!.wales;
    for (const i of [3, 9, 14, 20, 26]) {
      session.edit({ kind: 'removeLine', family: 'wale', at: wales[i]!.points[10]! });
    }
    expect(session.derived()?.grid.wales).toHaveLength(25);
    for (let i = 0; i < 9; i += 1) session.undo();
    expect(session.derived()).toEqual(original);
    session.redo();
    session.redo();
    expect(session.derived()?.grid.wales).toHaveLength(28);
    session.edit({ kind: 'removeLine', family: 'wale', at: wales[25]!.points[10]! });
    session.redo();
    expect(session.derived()?.grid.wales).toHaveLength(27);
  });

  it('does not count a correction that finds nothing to correct', async () => {
    const session = sessionOn(freshStorage());
    await session.openPhoto(photo());
    const far = { ...measurement.stitches.grid!.wales[0]!.points[0]!, x: -900 };
    session.edit({ kind: 'removeLine', family: 'wale', at: far });
    expect(state(session).swatch?.edits).toHaveLength(0);
  });

  it('replays her corrections when it looks again, and can put the earlier lines back', async () => {
    const other = flatMeasurement({ wales: 8, courses: 11 }, { wales: 28, courses: 38 });
    const session = sessionOn(freshStorage(), answeringVision({ findStitches: async () => other.stitches }));
    await session.openPhoto(photo());
    const at = measurement.stitches.grid!.wales[10]!.points[12]!;
    session.edit({ kind: 'removeLine', family: 'wale', at });
    await session.lookAgain(null);
    expect(session.derived()?.grid.wales).toHaveLength(27);
    session.takeBackLook();
    expect(session.derived()?.grid.wales).toHaveLength(29);
  });

  it('takes the confirmed scale back as soon as its reference is corrected', async () => {
    const session = sessionOn(freshStorage());
    await session.openPhoto(photo());
    confirmInch(session);
    await session.correctReference(0, { kind: 'grid', handles: measurement.references[0]!.handles }, null);
    expect(state(session).swatch).toMatchObject({ scale: null, gauge: null });
  });

  it('remembers a mat by its name for the next session', async () => {
    const name = `session-${++count}`;
    const session = sessionOn(freshStorage(name));
    await session.openPhoto(photo());
    session.rememberReference('my green mat', withStep(measurement.references[0]!, 25.4));
    const next = sessionOn(freshStorage(name));
    await next.start(null);
    await vi.waitFor(() =>
      expect(state(next).remembered).toMatchObject([{ name: 'my green mat', pitchMm: 25.4 }]),
    );
  });
});
