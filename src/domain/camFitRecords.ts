import type { Id, RestState } from './records';

/** One swatch with the cam's setting: what a fit of gauge against setting is made of. All u are standard uncertainties. */
export interface CamRecord {
  /** The swatch it comes from. */
  readonly id: Id;
  readonly readingMm: number;
  readonly uReadingMm: number;
  /** Width of a stitch and height of a row, mm. */
  readonly walePitchMm: number;
  readonly uWalePitchMm: number;
  readonly coursePitchMm: number;
  readonly uCoursePitchMm: number;
  /** Null when it was not recorded: a state of its own, mixed with no other. */
  readonly restState: RestState | null;
  readonly yarnId: Id;
  readonly machineId: Id;
  readonly cylinderNeedles: number;
  readonly landmarkId: Id;
}

/** What a fit is wanted for. Without `restState` the records' own is taken, if there is only one. */
export interface CamSelection {
  readonly yarnId: Id;
  readonly machineId: Id;
  readonly cylinderNeedles: number;
  readonly landmarkId: Id;
  readonly restState?: RestState | null;
}

/** Records of one yarn on one cylinder, comparable with each other in everything. */
export interface CamGroup {
  readonly yarnId: Id;
  readonly cylinderNeedles: number;
  readonly records: readonly CamRecord[];
}

/** The records for a fit, or why they cannot simply be taken. */
export type CamSelected =
  | {
      readonly kind: 'ready';
      readonly restState: RestState | null;
      readonly own: readonly CamRecord[];
      /** Other yarns and cylinders of the same machine, landmark and rest state. */
      readonly others: readonly CamGroup[];
      /** Swatches of the same yarn that were left out for their rest state or landmark. */
      readonly leftOut: readonly CamRecord[];
      /** One sentence each: what was left out and why. */
      readonly remarks: readonly string[];
    }
  | {
      readonly kind: 'mixedRestStates';
      readonly states: readonly { readonly restState: RestState | null; readonly count: number }[];
      readonly sentence: string;
    };

const STATE_WORDS: Record<RestState, string> = {
  offMachine: 'off the machine',
  rested: 'rested',
  washedAndDried: 'washed and dried',
  worn: 'worn',
};

/** A rest state in words. */
export const restStateWords = (state: RestState | null): string =>
  state === null ? 'rest not recorded' : STATE_WORDS[state];

const swatches = (n: number): string => (n === 1 ? '1 swatch' : `${n} swatches`);

const countStates = (records: readonly CamRecord[]): { restState: RestState | null; count: number }[] =>
  [...new Set(records.map((r) => r.restState))].map((restState) => ({
    restState,
    count: records.filter((r) => r.restState === restState).length,
  }));

const groupOthers = (records: readonly CamRecord[]): CamGroup[] => {
  const groups = new Map<string, CamRecord[]>();
  for (const record of records) {
    const key = JSON.stringify([record.yarnId, record.cylinderNeedles]);
    groups.set(key, [...(groups.get(key) ?? []), record]);
  }
  return [...groups.values()].flatMap((members) =>
    members[0]
      ? [{ yarnId: members[0].yarnId, cylinderNeedles: members[0].cylinderNeedles, records: members }]
      : [],
  );
};

const remarksOn = (leftOut: readonly CamRecord[], landmarkId: Id): string[] => {
  const elsewhere = leftOut.filter((r) => r.landmarkId !== landmarkId).length;
  const states = countStates(leftOut.filter((r) => r.landmarkId === landmarkId));
  return [
    ...states.map(
      ({ restState, count }) =>
        `Left out: ${swatches(count)} of another rest state (${restStateWords(restState)}).`,
    ),
    ...(elsewhere > 0
      ? [
          `Left out: ${swatches(elsewhere)} read at another landmark; relate the two landmarks to use ${elsewhere === 1 ? 'it' : 'them'}.`,
        ]
      : []),
  ];
};

/**
 * Picks the records that may be fitted together. Swatches of different rest states are never mixed silently: if the
 * selection names none and the yarn has several, the answer lists them and nothing is picked.
 */
export const selectCamRecords = (records: readonly CamRecord[], selection: CamSelection): CamSelected => {
  const onMachine = records.filter((r) => r.machineId === selection.machineId);
  const isOwn = (r: CamRecord): boolean =>
    r.yarnId === selection.yarnId && r.cylinderNeedles === selection.cylinderNeedles;
  const atLandmark = onMachine.filter((r) => r.landmarkId === selection.landmarkId);
  const states = countStates(atLandmark.filter(isOwn));
  if (selection.restState === undefined && states.length > 1) {
    const list = states.map((s) => `${s.count} ${restStateWords(s.restState)}`).join(', ');
    return {
      kind: 'mixedRestStates',
      states,
      sentence: `These swatches are of different rest states (${list}) and do not belong on one line: pick one.`,
    };
  }
  const restState = selection.restState !== undefined ? selection.restState : (states[0]?.restState ?? null);
  const fitting = atLandmark.filter((r) => r.restState === restState);
  const leftOut = onMachine.filter((r) => isOwn(r) && !fitting.includes(r));
  return {
    kind: 'ready',
    restState,
    own: fitting.filter(isOwn),
    others: groupOthers(fitting.filter((r) => !isOwn(r))),
    leftOut,
    remarks: remarksOn(leftOut, selection.landmarkId),
  };
};
