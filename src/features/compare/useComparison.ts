import { useCallback, useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { useStore } from 'zustand';
import type { CompareSide, CompareState, Comparison } from '../../store/compare';
import { lastPicked, newComparison } from '../../store/compareApp';
import { readSide, type SideReading } from '../../store/compareReading';

/**
 * The screen's comparison: it lives as long as the screen does, and begins with what was picked last.
 * @param isNamed true when the address says what to compare.
 */
export const useNewComparison = (isNamed: boolean): Comparison => {
  const [comparison] = useState(newComparison);
  // biome-ignore lint/correctness/useExhaustiveDependencies: only where the screen begins counts
  useEffect(() => {
    const end = comparison.follow();
    const picked = lastPicked.get();
    if (!isNamed && picked.length > 0) void comparison.show(picked);
    return () => {
      end();
      lastPicked.keep(comparison.ids());
      comparison.close();
    };
  }, [comparison]);
  return comparison;
};

/** A part of the comparison's state. */
export const useComparison = <T>(comparison: Comparison, select: (state: CompareState) => T): T =>
  useStore(comparison.store, select);

/** One side with what it has come to. */
export interface ReadSide {
  readonly side: CompareSide;
  /** Its letter on screen. */
  readonly name: string;
  /** Null while its photo is being opened. */
  readonly reading: SideReading | null;
}

export const letters = ['A', 'B', 'C', 'D'] as const;

/** All sides, read anew whenever one of them is corrected. */
export const useSides = (comparison: Comparison): readonly ReadSide[] => {
  const sides = useComparison(comparison, (state) => state.sides);
  const yarns = useComparison(comparison, (state) => state.yarns);
  const machines = useComparison(comparison, (state) => state.machines);
  const subscribe = useCallback(
    (listener: () => void) => {
      const ends = sides.map(({ session }) => session.store.subscribe(listener));
      return () => {
        for (const end of ends) end();
      };
    },
    [sides],
  );
  const read = useRef(new Map<string, { from: readonly unknown[]; reading: SideReading | null }>());
  const last = useRef<readonly ReadSide[]>([]);
  const snapshot = useCallback((): readonly ReadSide[] => {
    const next = sides.map((side, index): ReadSide => {
      const { swatch, photo } = side.session.store.getState();
      const from = [swatch, photo, yarns, machines];
      const known = read.current.get(side.key);
      const reading = known?.from.every((value, i) => value === from[i])
        ? known.reading
        : readSide(side.session, yarns, machines);
      if (reading !== known?.reading || !known) read.current.set(side.key, { from, reading });
      return { side, name: letters[index] ?? '', reading };
    });
    const same =
      next.length === last.current.length &&
      next.every((entry, i) => {
        const before = last.current[i];
        return before?.side === entry.side && before.reading === entry.reading && before.name === entry.name;
      });
    if (!same) last.current = next;
    return last.current;
  }, [sides, yarns, machines]);
  return useSyncExternalStore(subscribe, snapshot);
};
