import 'fake-indexeddb/auto';
import { act, cleanup, renderHook } from '@testing-library/react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import type { ScaleReference } from '../../src/domain/measurement';
import { useScaleStep } from '../../src/features/measure/scale/useScaleStep';
import { createStorage, type Storage } from '../../src/storage/repository';
import { currentReference } from '../../src/store/measureSessionState';
import { VisionFailure } from '../../workers/contract';
import { flatMeasurement } from '../builders/flatMeasurement';
import { answeringVision, sessionOn } from '../builders/flatSession';

const measurement = flatMeasurement();
const open = measurement.references[0]!;

const storages: Storage[] = [];
afterEach(() => {
  cleanup();
  for (const storage of storages.splice(0)) storage.close();
});

/** A session with a photo open whose reference is being fitted to handles that were just moved: `end` says how that ends. */
const whileFitting = async () => {
  const ends: { fitted: (r: ScaleReference) => void; refused: () => void }[] = [];
  const storage = createStorage(`answers-${Math.random()}`);
  storages.push(storage);
  const vision = answeringVision(measurement, {
    correctReference: () =>
      new Promise((fitted, fail) => {
        const refused = (): void => fail(new VisionFailure('correctionRefused', 'There are no lines here.'));
        ends.push({ fitted, refused });
      }),
  });
  const session = sessionOn(storage, vision);
  await session.openPhoto({ name: 'a.jpg', mime: 'image/jpeg', read: async () => new ArrayBuffer(4) });
  const swatch = session.store.getState().swatch!;
  const collect = { begin: vi.fn() };
  const tools = { collect, current: currentReference(swatch), middle: photoPoint(0, 0) };
  const onDone = vi.fn();
  const { result } = renderHook(() =>
    useScaleStep(session, swatch, tools as unknown as Parameters<typeof useScaleStep>[2], onDone),
  );
  const fitting = session.correctReference(0, { kind: 'grid', handles: open.handles }, null);
  await vi.waitFor(() => expect(ends).toHaveLength(1));
  return { session, step: result.current, onDone, fitting, end: ends[0]! };
};

describe('an answer given while the reference is still being fitted', () => {
  it('holds for where it comes to lie, not for where it was', async () => {
    const { session, step, onDone, fitting, end } = await whileFitting();
    act(() => step.onConfirm(25.4, null));
    expect(session.store.getState().swatch?.scale).toBeNull();
    end.fitted({ ...open, unitPlane: { ...open.unitPlane!, residualPx: 0.77 } });
    await fitting;
    await vi.waitFor(() => expect(onDone).toHaveBeenCalledOnce());
    const used = session.store.getState().swatch?.scale?.reference;
    expect([used?.pitchMm, used?.plane?.residualPx]).toEqual([25.4, 0.77]);
  });

  it('is not taken where that place is refused: she reads why instead', async () => {
    const { session, step, onDone, fitting, end } = await whileFitting();
    act(() => step.onConfirm(25.4, null));
    end.refused();
    await fitting;
    expect(session.store.getState()).toMatchObject({ problem: 'There are no lines here.', working: null });
    expect(session.store.getState().swatch?.scale).toBeNull();
    expect(onDone).not.toHaveBeenCalled();
  });
});
