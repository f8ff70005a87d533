import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Id, NamedReference, Yarn } from '../domain/records';
import type { MachineContents } from '../storage/machineShelf';
import type { Storage } from '../storage/repository';
import type { IncomingPhoto, Session } from './measureSessionTypes';

/** At most so many swatches lie side by side. */
export const MOST_SIDES = 4;

/** One of the swatches that are compared; it is corrected through a session of its own, as on the measuring screen. */
export interface CompareSide {
  readonly key: string;
  readonly session: Session;
  /** The page's own session, lent: it stays open when the comparison ends. */
  readonly lent: boolean;
}

export interface CompareState {
  readonly sides: readonly CompareSide[];
  readonly opening: boolean;
  readonly problem: string | null;
  readonly yarns: ReadonlyMap<Id, Yarn>;
  readonly machines: ReadonlyMap<Id, MachineContents>;
  /** Mats and other references that are known by name. */
  readonly remembered: readonly NamedReference[];
}

export interface ComparePorts {
  readonly storage: Pick<Storage, 'watch' | 'yarns' | 'machines' | 'namedReferences' | 'readMachine'>;
  readonly newSession: () => Session;
  /** A session that already has this swatch open, if there is one. */
  readonly openSession: (id: Id) => Session | null;
}

export interface Comparison {
  readonly store: StoreApi<CompareState>;
  /** Opens these swatches, in this order, and lets go of all others. Missing ones are left out with a sentence. */
  readonly show: (ids: readonly Id[]) => Promise<void>;
  /** Measures a photo and puts it beside the others. */
  readonly addPhoto: (photo: IncomingPhoto) => Promise<void>;
  readonly remove: (key: string) => void;
  /** The first swatch is what the others are compared with: this makes another one the first. */
  readonly makeFirst: (key: string) => void;
  /** Ids of the swatches that lie here or are being opened, in order. */
  readonly ids: () => readonly Id[];
  /** Keeps yarns and machines up to date until the returned function is called. */
  readonly follow: () => () => void;
  readonly close: () => void;
  readonly tell: (problem: string | null) => void;
}

const empty: CompareState = {
  sides: [],
  opening: false,
  problem: null,
  yarns: new Map(),
  machines: new Map(),
  remembered: [],
};

const idOf = (side: CompareSide): Id | null => side.session.store.getState().swatch?.id ?? null;

/** Makes a comparison: which swatches lie side by side, each in a session of its own. */
export const createComparison = (ports: ComparePorts): Comparison => {
  const store = createStore<CompareState>(() => empty);
  const { getState: get, setState: set } = store;
  let made = 0;
  let turn = 0;
  /** What `show` is opening; a second pick meanwhile adds to it. */
  let awaited: readonly Id[] | null = null;

  const leave = (side: CompareSide): void => {
    if (!side.lent) side.session.close();
  };
  const sideFor = (session: Session, lent: boolean): CompareSide => {
    made += 1;
    return { key: `side-${made}`, session, lent };
  };

  const opened = async (id: Id): Promise<CompareSide | null> => {
    const already = get().sides.find((side) => idOf(side) === id);
    if (already) return already;
    const lent = ports.openSession(id);
    if (lent) return sideFor(lent, true);
    const session = ports.newSession();
    await session.start(id);
    return session.store.getState().swatch?.id === id ? sideFor(session, false) : null;
  };

  const show: Comparison['show'] = async (ids) => {
    turn += 1;
    const mine = turn;
    const wanted = [...new Set(ids)].slice(0, MOST_SIDES);
    awaited = wanted;
    set({ opening: wanted.some((id) => !get().sides.some((side) => idOf(side) === id)) });
    const found = await Promise.all(wanted.map(opened));
    const sides = found.flatMap((side) => (side ? [side] : []));
    if (mine !== turn) {
      for (const side of sides) if (!get().sides.includes(side)) leave(side);
      return;
    }
    awaited = null;
    for (const side of get().sides) if (!sides.includes(side)) leave(side);
    const missing = wanted.length - sides.length;
    set({
      sides,
      opening: false,
      problem:
        missing === 0
          ? get().problem
          : `${missing === 1 ? 'One swatch is' : `${missing} swatches are`} not in this notebook or without a photo: pick another one.`,
    });
  };

  const addPhoto: Comparison['addPhoto'] = async (photo) => {
    if (get().sides.length >= MOST_SIDES) {
      set({ problem: `${MOST_SIDES} swatches lie here already: take one away first.` });
      return;
    }
    const side = sideFor(ports.newSession(), false);
    set({ sides: [...get().sides, side], problem: null });
    await side.session.openPhoto(photo);
    const { swatch, problem } = side.session.store.getState();
    if (swatch) return;
    leave(side);
    // Of several photos brought at once each that fails is named, and none hides what was said of another.
    const said = problem && `${photo.name}: ${problem}`;
    set({
      sides: get().sides.filter((other) => other !== side),
      problem: [get().problem, said].filter(Boolean).join(' ') || null,
    });
  };

  const readAround = async () => {
    const [yarns, machines, remembered] = await Promise.all([
      ports.storage.yarns.list(),
      ports.storage.machines.list(),
      ports.storage.namedReferences.list(),
    ]);
    const contents = await Promise.all(machines.map(({ id }) => ports.storage.readMachine(id)));
    return { yarns, contents: contents.flatMap((c) => (c ? [c] : [])), remembered };
  };

  return {
    store,
    show,
    addPhoto,
    remove: (key) => {
      const side = get().sides.find((other) => other.key === key);
      if (!side) return;
      leave(side);
      set({ sides: get().sides.filter((other) => other !== side) });
    },
    makeFirst: (key) => {
      const { sides } = get();
      const first = sides.find((side) => side.key === key);
      if (first) set({ sides: [first, ...sides.filter((side) => side !== first)] });
    },
    ids: () => awaited ?? get().sides.flatMap((side) => idOf(side) ?? []),
    follow: () =>
      ports.storage.watch(
        readAround,
        ({ yarns, contents, remembered }) =>
          set({
            yarns: new Map(yarns.map((yarn) => [yarn.id, yarn])),
            machines: new Map(contents.map((content) => [content.machine.id, content])),
            remembered,
          }),
        ({ sentence }) => set({ problem: sentence }),
      ),
    close: () => {
      turn += 1;
      awaited = null;
      for (const side of get().sides) leave(side);
      set({ sides: [], opening: false, problem: null });
    },
    tell: (problem) => set({ problem }),
  };
};
