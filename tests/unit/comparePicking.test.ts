import { describe, expect, it } from 'vitest';
import { createStore } from 'zustand/vanilla';
import { type ComparePorts, createComparison } from '../../src/store/compare';
import type { Session } from '../../src/store/measureSessionTypes';

/** Sessions that open their swatch only when they are told to. */
const slowSessions = () => {
  const gates: (() => void)[] = [];
  const closed: string[] = [];
  const newSession = (): Session => {
    const store = createStore<{ swatch: { id: string } | null }>(() => ({ swatch: null }));
    return {
      store,
      start: (id: string) =>
        new Promise<void>((done) =>
          gates.push(() => {
            store.setState({ swatch: { id } });
            done();
          }),
        ),
      close: () => closed.push(store.getState().swatch?.id ?? ''),
    } as unknown as Session;
  };
  return { newSession, closed, openAll: () => gates.splice(0).forEach((open) => void open()) };
};

const comparisonOf = (newSession: () => Session) =>
  createComparison({ newSession, openSession: () => null } as unknown as ComparePorts);

describe('picking swatches to compare', () => {
  it('keeps the first pick when the second comes before the first is open', async () => {
    const { newSession, openAll, closed } = slowSessions();
    const comparison = comparisonOf(newSession);
    const first = comparison.show(['one']);
    expect(comparison.ids()).toEqual(['one']);
    const second = comparison.show([...comparison.ids(), 'two']);
    openAll();
    await Promise.all([first, second]);
    expect(comparison.ids()).toEqual(['one', 'two']);
    expect(comparison.store.getState().sides).toHaveLength(2);
    // The session of the overtaken pick is let go of.
    expect(closed).toEqual(['one']);
  });

  it('forgets what it was opening when it is closed', async () => {
    const { newSession, openAll } = slowSessions();
    const comparison = comparisonOf(newSession);
    const opening = comparison.show(['one']);
    comparison.close();
    openAll();
    await opening;
    expect(comparison.ids()).toEqual([]);
  });
});

describe('photos brought together', () => {
  it('are each named when they cannot be opened', async () => {
    const refusing = (): Session => {
      const store = createStore<{ swatch: null; problem: string | null }>(() => ({
        swatch: null,
        problem: null,
      }));
      return {
        store,
        openPhoto: async ({ name }: { name: string }) =>
          store.setState({
            problem: `${name.endsWith('txt') ? 'This is a text file.' : 'It is cut short.'}`,
          }),
        close: () => undefined,
      } as unknown as Session;
    };
    const comparison = comparisonOf(refusing);
    const photoOf = (name: string) => ({ name, mime: '', read: async () => new ArrayBuffer(0) });
    await Promise.all(['list.txt', 'half.jpg'].map((name) => comparison.addPhoto(photoOf(name))));
    expect(comparison.store.getState()).toMatchObject({
      sides: [],
      problem: 'list.txt: This is a text file. half.jpg: It is cut short.',
    });
  });
});
