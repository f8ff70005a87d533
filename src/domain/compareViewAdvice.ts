import { fitCam } from './camFit';
import { predictPitch } from './camFitPredict';
import type { CamRecord, CamSelected, CamSelection } from './camFitRecords';
import type { Uncertain } from './gauge';
import type { LandmarkGrowth } from './landmarkRelationGrowth';
import type { MachineRecord } from './machineRecords';
import type { CaliperReading } from './records';
import { guideToSetting, type SetCamGuidance } from './setCam';
import { readingForGauge } from './setCamTarget';
import type { TurnCalibration } from './turns';
import {
  decimalsFor,
  formatDecimals,
  formatJudgedPercent,
  formatUncertain,
  formatUncertainLength,
  uncertainPerInch,
} from './units';

/** What the machine's records say about setting its cam at one landmark. */
export interface SettingModel {
  readonly machine: Pick<
    MachineRecord,
    'looserDirection' | 'stepTurns' | 'finishDirection' | 'mountedNeedles'
  >;
  readonly landmarkName: string;
  /** Null while it is not known whether the reading grows as the stitch gets longer. */
  readonly growth: LandmarkGrowth | null;
  readonly calibration: TurnCalibration | null;
  /** Picks the swatches that may be fitted together. */
  readonly select: (selection: CamSelection) => CamSelected;
  readonly unit: CaliperReading['unit'];
}

/** How to make one swatch's yarn knit like another swatch, or why that cannot be said. */
export type ChangeAdvice =
  | {
      readonly kind: 'advice';
      readonly readingMm: number;
      readonly lowerMm: number;
      readonly upperMm: number;
      /** Stitches and rows per mm to expect there. */
      readonly walesPerMm: Uncertain;
      readonly coursesPerMm: Uncertain | null;
      /** How far the rows will be off the wanted ones, as a share; null when nothing is known of them. */
      readonly rowsOff: Uncertain | null;
      /** How to turn the nut from the setting of the swatch that is to change; null when it cannot be said. */
      readonly turning: string | null;
      readonly sentence: string;
      readonly cautions: readonly string[];
    }
  | { readonly kind: 'none'; readonly sentence: string };

/** Rows that are off by less than one in 200 are not seen in a sock: a tenth of a row to the inch at usual gauges. */
const SEEN_SHARE = 0.005;

/** What the rows will be like when the stitches are right, and whether that is a warning. */
export const rowsSentence = (
  { value, plusMinus95 }: Uncertain,
  names: { readonly from: string; readonly target: string },
): { readonly warns: boolean; readonly sentence: string } => {
  const size = Math.abs(value);
  const amount = formatJudgedPercent(size, plusMinus95);
  const more = value > 0 ? 'more' : 'fewer';
  if (size <= plusMinus95) {
    const room = formatDecimals(100 * (size + plusMinus95), decimalsFor(100 * plusMinus95));
    return {
      warns: false,
      sentence: `The rows should then come out like those of ${names.target}, give or take ${room} %.`,
    };
  }
  return size < SEEN_SHARE
    ? {
        warns: false,
        sentence: `The rows should then come out like those of ${names.target}: ${amount} ${more}, too little to be seen.`,
      }
    : {
        warns: true,
        sentence: `Columns and rows cannot both be met: with the stitches right, ${names.from} will have ${amount} ${more} rows than ${names.target}.`,
      };
};

/** A pitch with its prediction interval as a density with its ±. */
const densityFrom = (pitchMm: number, lowerMm: number, upperMm: number): Uncertain => ({
  value: 1 / pitchMm,
  plusMinus95: (upperMm - lowerMm) / 2 / pitchMm ** 2,
});

const perInch = (density: Uncertain): string => {
  const { value, plusMinus95 } = uncertainPerInch(density);
  return formatUncertain(value, plusMinus95);
};

const turningFrom = (
  { machine, growth, calibration, unit }: SettingModel,
  record: CamRecord,
  target: { readonly readingMm: number; readonly toleranceMm: number },
): Pick<SetCamGuidance, 'sentence' | 'cautions'> | null => {
  if (growth === null) return null;
  return guideToSetting({
    presentMm: record.readingMm,
    uPresentMm: record.uReadingMm,
    targetMm: target.readingMm,
    toleranceMm: target.toleranceMm,
    looserDirection: machine.looserDirection,
    growth,
    calibration,
    stepTurns: machine.stepTurns,
    lastMove: null,
    ...(machine.finishDirection === null ? {} : { finishDirection: machine.finishDirection }),
    unit,
    ...(machine.mountedNeedles === null
      ? {}
      : { cylinder: { wanted: record.cylinderNeedles, mounted: machine.mountedNeedles } }),
  });
};

/**
 * The setting at which the yarn of `from` should come out with the stitches of `target`, by the machine's own swatches; the rows follow, and
 * where they do not come out as wanted that is said, because one cam cannot move columns and rows apart.
 * @param names how the two are called on screen: the one to change and the one to be like.
 */
export const changeAdvice = (
  from: CamRecord,
  target: { readonly walesPerMm: number; readonly coursesPerMm: number },
  model: SettingModel,
  names: { readonly from: string; readonly target: string },
): ChangeAdvice => {
  const none = (sentence: string): ChangeAdvice => ({ kind: 'none', sentence });
  const selected = model.select(from);
  if (selected.kind !== 'ready') return none(selected.sentence);
  // The swatch itself counts even while it is a draft.
  const own = [...selected.own.filter(({ id }) => id !== from.id), from];
  const wales = fitCam(own, selected.others, 'wale');
  if (wales.kind !== 'fit') return none(wales.sentence);
  const courses = fitCam(own, selected.others, 'course');
  const aim = readingForGauge(wales, target.walesPerMm, courses.kind === 'fit' ? courses : null, model.unit);
  if (aim.kind !== 'reading') return none(aim.sentence);
  const stitches = predictPitch(wales, aim.readingMm);
  const walesPerMm = densityFrom(stitches.pitchMm, stitches.lowerMm, stitches.upperMm);
  const coursesPerMm = aim.rows && densityFrom(aim.rows.pitchMm, aim.rows.lowerMm, aim.rows.upperMm);
  const rowsOff = coursesPerMm && {
    value: coursesPerMm.value / target.coursesPerMm - 1,
    plusMinus95: coursesPerMm.plusMinus95 / target.coursesPerMm,
  };
  const turning = turningFrom(model, from, aim);
  const reading = formatUncertainLength(aim.readingMm, (aim.upperMm - aim.lowerMm) / 2, model.unit);
  return {
    kind: 'advice',
    readingMm: aim.readingMm,
    lowerMm: aim.lowerMm,
    upperMm: aim.upperMm,
    walesPerMm,
    coursesPerMm,
    rowsOff,
    turning: turning?.sentence ?? null,
    sentence: `To make ${names.from} like ${names.target}: set “${model.landmarkName}” to ${reading}; expected ${perInch(walesPerMm)} stitches per inch.`,
    cautions: [...new Set([...aim.cautions, ...selected.remarks, ...(turning?.cautions ?? [])])],
  };
};
