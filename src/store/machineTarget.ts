import { evaluateReading } from '../domain/caliper';
import type { CamRecord } from '../domain/camFitRecords';
import type { CamLog } from '../domain/machineRecords';
import type { CaliperReading, Id } from '../domain/records';
import { readingForGauge } from '../domain/setCamTarget';
import type { MachineContents } from '../storage/machineShelf';
import { fitsOf, type MachineKnowledge } from './machineKnowledge';

/** Where the cam is to go, and where that comes from. */
export type CamTarget = Pick<
  CamLog,
  'landmarkId' | 'swatchId' | 'targetMm' | 'goal' | 'toleranceMm' | 'wantedNeedles' | 'cautions'
>;

/** ± at 95 % over a standard uncertainty that is well known. */
const NORMAL_95 = 1.96;

/** Back to the setting of a swatch: near enough is where the gauge changes by 1 %, or what the reading itself is good for. */
export const targetOfSwatch = (
  { swatches }: Pick<MachineContents, 'swatches'>,
  knowledge: MachineKnowledge,
  record: CamRecord,
  goal: string,
): CamTarget => {
  const selected = knowledge.select({ ...record, restState: record.restState });
  const fit = selected.kind === 'ready' ? fitsOf(selected).wales : null;
  const target = fit?.kind === 'fit' ? readingForGauge(fit, 1 / record.walePitchMm) : null;
  const own = NORMAL_95 * record.uReadingMm;
  const readAt = swatches.find(({ id }) => id === record.id)?.reading?.landmarkId;
  return {
    landmarkId: record.landmarkId,
    swatchId: record.id,
    targetMm: record.readingMm,
    goal,
    toleranceMm: Math.max(own, target?.kind === 'reading' ? target.toleranceMm : 0),
    wantedNeedles: record.cylinderNeedles,
    cautions:
      readAt === record.landmarkId
        ? []
        : ['The swatch was read at another landmark; the target is worked out from that reading.'],
  };
};

/** A reading that she typed: near enough is what one reading at the landmark is good for. */
export const targetOfReading = (
  { landmarks }: Pick<MachineContents, 'landmarks'>,
  knowledge: MachineKnowledge,
  landmarkId: Id,
  typed: { readonly text: string; readonly mm: number; readonly unit: CaliperReading['unit'] },
  goal: string,
): CamTarget => {
  const jaw = landmarks.find(({ id }) => id === landmarkId)?.jaw ?? 'outside';
  const reading = { landmarkId, unit: typed.unit, repeats: [{ typed: typed.text, mm: typed.mm }] };
  const { sameCaliperUncertaintyMm } = evaluateReading(reading, jaw, knowledge.repeatability(landmarkId));
  return {
    landmarkId,
    swatchId: null,
    targetMm: typed.mm,
    goal,
    toleranceMm: NORMAL_95 * sameCaliperUncertaintyMm,
    wantedNeedles: null,
    cautions: [],
  };
};
