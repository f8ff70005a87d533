import { evaluateReading } from '../domain/caliper';
import type { ComparedSwatch } from '../domain/compareViewTable';
import { type Evenness, evennessOf } from '../domain/evenness';
import type { GaugeResult } from '../domain/gaugeOf';
import type { PlaneMap } from '../domain/plane';
import type { Id, Swatch, Yarn } from '../domain/records';
import type { MachineContents } from '../storage/machineShelf';
import type { DerivedGrid } from './measureSessionGrid';
import type { Session } from './measureSessionTypes';

/** What one side of a comparison has come to so far. */
export interface SideReading {
  readonly swatch: Swatch;
  readonly derived: DerivedGrid;
  /** Null while there is no scale or no window. */
  readonly plane: PlaneMap | null;
  readonly result: GaugeResult | null;
  /** Why there are no numbers yet; null when there are. */
  readonly lacks: string | null;
  readonly compared: ComparedSwatch | null;
  readonly yarn: Yarn | null;
  readonly machine: MachineContents | null;
}

/** How even each version of a grid came out; worked out once a version. */
const known = new WeakMap<GaugeResult, Evenness | null>();
const evennessFor = (
  result: GaugeResult,
  { grid, window }: DerivedGrid,
  plane: PlaneMap,
): Evenness | null => {
  if (!known.has(result)) known.set(result, window && evennessOf(grid, window, plane));
  return known.get(result) ?? null;
};

const lacksOf = (swatch: Swatch, derived: DerivedGrid): string | null => {
  if (!swatch.measurement) return 'This photo has not been measured.';
  if (!swatch.scale?.reference.plane) return 'Nothing says yet how long an inch is in this photo.';
  if (!derived.window) return 'There are no columns and rows in this photo yet.';
  return null;
};

const readingOf = ({ reading }: Swatch, machine: MachineContents | null): ComparedSwatch['reading'] => {
  const landmark = machine?.landmarks.find(({ id }) => id === reading?.landmarkId);
  if (!reading || reading.repeats.length === 0) return null;
  const evaluated = evaluateReading(reading, landmark?.jaw ?? 'outside');
  return {
    mm: evaluated.meanMm,
    plusMinus95Mm: evaluated.plusMinus95Mm,
    sameCaliperU: evaluated.sameCaliperUncertaintyMm,
  };
};

/** Everything that a comparison shows of the swatch in a session; null while none is open in it. */
export const readSide = (
  session: Session,
  yarns: ReadonlyMap<Id, Yarn>,
  machines: ReadonlyMap<Id, MachineContents>,
): SideReading | null => {
  const { swatch } = session.store.getState();
  const derived = session.derived();
  if (!swatch || !derived) return null;
  const gauge = session.gauge();
  const result = gauge?.ok ? gauge : null;
  const plane = swatch.scale?.reference.plane ?? null;
  const yarn = (swatch.yarnId !== null && yarns.get(swatch.yarnId)) || null;
  const machine = (swatch.machineId !== null && machines.get(swatch.machineId)) || null;
  const compared: ComparedSwatch | null =
    result && plane
      ? {
          result,
          evenness: evennessFor(result, derived, plane),
          planeUncertainty: plane.relativeUncertainty,
          referenceId: swatch.scale?.namedReferenceId ?? null,
          thicknessMm: swatch.thicknessMm,
          layers: swatch.layers,
          tex: yarn?.tex ?? null,
          restState: swatch.restState,
          reading: readingOf(swatch, machine),
          landmarkId: swatch.reading?.landmarkId ?? null,
        }
      : null;
  const lacks = lacksOf(swatch, derived) ?? (gauge && !gauge.ok ? gauge.sentence : null);
  return { swatch, derived, plane, result, lacks, compared, yarn, machine };
};
