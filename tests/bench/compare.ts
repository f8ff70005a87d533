import type { Verdict } from '../../cli/verdict';
import { photoPoint } from '../../src/domain/coordinates';
import { gaugeOf } from '../../src/domain/gaugeOf';
import type { Measurement, StitchFinding } from '../../src/domain/measurement';
import { type PlaneMap, toPlane } from '../../src/domain/plane';
import { perMmToPerInch, uncertainPerInch } from '../../src/domain/units';
import type { BenchCase, BenchRow, KnownPhoto } from './row';

/** What is said of the fabric: whether it is a flattened tube, and nothing of its thickness, as users rarely do. */
export const fabricSaid = ({ layers }: KnownPhoto) => ({ thicknessMm: null, layers });

/** The true plane of the fabric, exact and with nothing above it. */
const truePlane = (photoToFabric: PlaneMap['photoToPlane']): PlaneMap => ({
  photoToPlane: photoToFabric,
  residualPx: 0,
  relativeUncertainty: 0,
  tiltRad: null,
  cameraHeightMm: null,
  referenceHeightMm: 0,
});

/** How far the stitches alone are off, on the true scale; null where nothing was found. */
export const stitchErrorOf = (
  { grid, window, pitchPx }: StitchFinding,
  known: KnownPhoto,
): BenchRow['stitchError'] => {
  if (known.pitchPx !== null && pitchPx !== null) {
    return {
      stitches: known.pitchPx.wale / pitchPx.wale - 1,
      rows: known.pitchPx.course / pitchPx.course - 1,
    };
  }
  if (grid === null || window === null || known.gauge === null || known.photoToFabric === null) return null;
  const result = gaugeOf(grid, window, truePlane(known.photoToFabric), fabricSaid(known));
  if (!result.ok) return null;
  return {
    stitches: perMmToPerInch(result.gauge.walesPerMm.value) / known.gauge.stitchesPerInch - 1,
    rows: perMmToPerInch(result.gauge.coursesPerMm.value) / known.gauge.rowsPerInch - 1,
  };
};

/** Mean error of all distances between the known places, as a share. */
export const scaleErrorOf = (plane: PlaneMap | null, { scalePoints }: KnownPhoto): number | null => {
  if (plane === null || scalePoints.length < 2) return null;
  const ratios: number[] = [];
  scalePoints.forEach((a, i) => {
    for (const b of scalePoints.slice(i + 1)) {
      const p = toPlane(plane, photoPoint(...a.px));
      const q = toPlane(plane, photoPoint(...b.px));
      ratios.push(Math.hypot(p.x - q.x, p.y - q.y) / Math.hypot(a.mm[0] - b.mm[0], a.mm[1] - b.mm[1]));
    }
  });
  return ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length - 1;
};

const shownValue = ({ gauge }: Verdict): BenchRow['value'] =>
  gauge && {
    stitchesPerInch: uncertainPerInch(gauge.gauge.walesPerMm),
    rowsPerInch: uncertainPerInch(gauge.gauge.coursesPerMm),
  };

const gaugeErrorOf = (value: BenchRow['value'], { gauge }: KnownPhoto): BenchRow['gaugeError'] =>
  value &&
  gauge && {
    stitches: value.stitchesPerInch.value / gauge.stitchesPerInch - 1,
    rows: value.rowsPerInch.value / gauge.rowsPerInch - 1,
  };

/** Sets a measurement beside what is known of the photo. */
export const rowFrom = (
  { name, set, kind }: BenchCase,
  known: KnownPhoto,
  measurement: Measurement,
  verdict: Verdict,
  timingsMs: Readonly<Record<string, number>>,
): BenchRow => {
  const value = shownValue(verdict);
  const plane = verdict.reference?.plane ?? null;
  const { confidence, pitchPx } = measurement.stitches;
  return {
    name,
    set,
    kind,
    referenceKind: known.referenceKind,
    widthPx: measurement.photo.widthPx,
    heightPx: measurement.photo.heightPx,
    pxPerStitch: pitchPx?.wale ?? null,
    truth: known.gauge,
    value,
    gaugeError: gaugeErrorOf(value, known),
    stitchError: stitchErrorOf(measurement.stitches, known),
    tolerance: known.pitchPx?.tolerance ?? 0,
    scaleError: scaleErrorOf(plane, known),
    scalePlusMinus: plane === null ? null : 2 * plane.relativeUncertainty,
    foundReference: plane === null ? null : (verdict.reference?.kind ?? null),
    status: verdict.status,
    stitchStatus: confidence.status,
    chance: confidence.chance,
    stitchReasons: confidence.reasons,
    timingsMs,
  };
};

/** The row of a photo on which the program broke. */
export const faultRow = ({ name, set, kind }: BenchCase, known: KnownPhoto, cause: unknown): BenchRow => ({
  name,
  set,
  kind,
  referenceKind: known.referenceKind,
  widthPx: 0,
  heightPx: 0,
  pxPerStitch: null,
  truth: known.gauge,
  value: null,
  gaugeError: null,
  stitchError: null,
  tolerance: 0,
  scaleError: null,
  scalePlusMinus: null,
  foundReference: null,
  status: 'unreadable',
  stitchStatus: 'unreadable',
  chance: 0,
  stitchReasons: [`The program broke: ${cause instanceof Error ? cause.message : String(cause)}`],
  timingsMs: {},
});
