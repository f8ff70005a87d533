import type { LandmarkGrowth } from './landmarkRelationGrowth';
import type { CaliperReading, Id, Landmark, Machine, Moment } from './records';
import { type CamLogEntry, USUAL_LOOSER_DIRECTION, USUAL_STEP_TURNS } from './setCam';
import type { NutDirection } from './turns';

/** One cylinder of a machine. */
export interface Cylinder {
  readonly needles: number;
  /** Diameter at the needles, mm; null when it was never measured. */
  readonly diameterMm: number | null;
}

/** What a machine's record holds beyond its name, for getting back to a setting. */
export interface MachineProfile {
  readonly cylinders: readonly Cylinder[];
  /** Needle count of the cylinder that is on the machine now; null when not said. */
  readonly mountedNeedles: number | null;
  /** Which way of turning the nut, seen from above, lengthens the stitch. */
  readonly looserDirection: NutDirection;
  /** The step she turns in, as a share of a turn. */
  readonly stepTurns: number;
  /** The way every approach ends; null for the tightening way. */
  readonly finishDirection: NutDirection | null;
  /** Nominal thread pitch, mm, as a start for the travel of a turn; null when not known. */
  readonly nominalPitchMm: number | null;
  readonly photoId: Id | null;
}

/** A place in a landmark's photo as shares of its width and height, 0 to 1, from the top left corner. */
export interface PhotoDot {
  readonly x: number;
  readonly y: number;
}

/** What a landmark's record holds beyond its name and jaw. */
export interface LandmarkProfile {
  /** Whether the reading grows or shrinks as the stitch gets longer, as she said; null while open. */
  readonly growth: LandmarkGrowth | null;
  /** A sloping surface has no one height: it needs a mark that is always measured to. */
  readonly sloping: boolean;
  /** Which mark is measured to; asked for when the surface slopes. */
  readonly mark: string;
  readonly photoId: Id | null;
  /** Where the caliper's two points go, in that photo; empty or two. */
  readonly dots: readonly PhotoDot[];
}

/** A machine and a landmark with all that is known of them. */
export type MachineRecord = Machine & MachineProfile;
export type LandmarkRecord = Landmark & LandmarkProfile;

/** Readings before and after counted moves of the nut, kept as typed. */
export interface TurnRecord {
  readonly id: Id;
  readonly machineId: Id;
  readonly landmarkId: Id;
  readonly start: CaliperReading;
  /** Null when which way the nut was last turned is not known. */
  readonly lastMoveBefore: NutDirection | null;
  readonly moves: readonly {
    readonly direction: NutDirection;
    readonly turns: number;
    readonly after: CaliperReading;
  }[];
  readonly createdAt: Moment;
  readonly deletedAt: Moment | null;
}

/** Several landmarks read at one setting, so that one can be worked out from another. */
export interface SameSettingRecord {
  readonly id: Id;
  readonly machineId: Id;
  readonly readings: readonly CaliperReading[];
  readonly createdAt: Moment;
  readonly deletedAt: Moment | null;
}

/** One step of a journey to a setting: what was read, and what was advised. */
export interface CamStep extends CamLogEntry {
  /** The reading as typed. */
  readonly reading: CaliperReading;
  /** Which way the nut was last turned before it; null when not known. */
  readonly lastMove: NutDirection | null;
}

/** One journey to a setting: its steps in order. */
export interface CamLog {
  readonly id: Id;
  readonly machineId: Id;
  readonly landmarkId: Id;
  /** The swatch that the target came from; null for a wish. */
  readonly swatchId: Id | null;
  readonly targetMm: number;
  /** What the target stands for, in words. */
  readonly goal: string;
  /** How near is near enough, mm. */
  readonly toleranceMm: number;
  /** The cylinder that the target belongs to, by needle count; null when it was not said. */
  readonly wantedNeedles: number | null;
  /** What the target's own origin has to warn of. */
  readonly cautions: readonly string[];
  readonly steps: readonly CamStep[];
  readonly startedAt: Moment;
  readonly finishedAt: Moment | null;
}

/** A profile for a machine of which nothing was said yet: the usual direction and step (common practice). */
export const usualProfile = (machine: Pick<Machine, 'cylinderNeedles'>): MachineProfile => ({
  cylinders: machine.cylinderNeedles.map((needles) => ({ needles, diameterMm: null })),
  mountedNeedles: machine.cylinderNeedles.length === 1 ? (machine.cylinderNeedles[0] ?? null) : null,
  looserDirection: USUAL_LOOSER_DIRECTION,
  stepTurns: USUAL_STEP_TURNS,
  finishDirection: null,
  nominalPitchMm: null,
  photoId: null,
});

/** A profile for a landmark of which nothing was said yet. */
export const usualLandmarkProfile = (): LandmarkProfile => ({
  growth: null,
  sloping: false,
  mark: '',
  photoId: null,
  dots: [],
});

/** What is still to be said about a landmark before readings there can be trusted: one sentence each. */
export const openQuestions = (landmark: LandmarkProfile): readonly string[] => [
  ...(landmark.sloping && landmark.mark.trim() === ''
    ? ['The surface slopes: make a mark that you always measure to, and say which it is.']
    : []),
  ...(landmark.growth === null
    ? [
        'Does this reading grow or shrink as the stitch gets longer? Two swatches will tell, if you do not know.',
      ]
    : []),
];

/**
 * A stored machine with all of its profile: what was never said gets its usual value, and the cylinders are those that the
 * machine names, with the diameters that are known.
 */
export const withProfile = (machine: Machine & Partial<MachineProfile>): MachineRecord => {
  const usual = usualProfile(machine);
  return {
    ...usual,
    ...machine,
    cylinders: usual.cylinders.map(
      (plain) => machine.cylinders?.find(({ needles }) => needles === plain.needles) ?? plain,
    ),
    mountedNeedles:
      machine.mountedNeedles && machine.cylinderNeedles.includes(machine.mountedNeedles)
        ? machine.mountedNeedles
        : usual.mountedNeedles,
  };
};

/** A stored landmark with all of its profile. */
export const withLandmarkProfile = (landmark: Landmark & Partial<LandmarkProfile>): LandmarkRecord => ({
  ...usualLandmarkProfile(),
  ...landmark,
});
