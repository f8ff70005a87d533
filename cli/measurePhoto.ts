import { readFileSync } from 'node:fs';
import { type PhotoPoint, photoPoint } from '../src/domain/coordinates';
import type { Measurement, PhotoFacts } from '../src/domain/measurement';
import { spiralityOf } from '../src/domain/spirality';
import { DEGREES_PER_RADIAN, scaleUncertain, uncertainPerInch } from '../src/domain/units';
import { type MeasureHints, type ReferenceCorrection, VisionFailure } from '../workers/contract';
import { measure } from '../workers/measure';
import { openPhoto } from '../workers/photo/openPhoto';
import type { Command, Region } from './arguments';
import { decodeInNode } from './decode';
import { type PhotoReport, pair, reportedLines, unreadable } from './report';
import { type Verdict, verdictOf } from './verdict';

type Wishes = Extract<Command, { kind: 'measure' }>;

const bytesOf = (path: string): Uint8Array => {
  try {
    return readFileSync(path);
  } catch (cause) {
    throw new VisionFailure('photoNotOpen', `There is no readable file at ${path}.`, { cause });
  }
};

/** The region as a polygon, cut where the photo ends. @throws VisionFailure when it lies outside the photo. */
const polygonFrom = ({ x0, y0, x1, y1 }: Region, { widthPx, heightPx }: PhotoFacts): PhotoPoint[] => {
  if (x0 >= widthPx || y0 >= heightPx) {
    throw new VisionFailure(
      'photoTooSmall',
      `The region lies outside this photo, which is ${widthPx} × ${heightPx} pixels.`,
    );
  }
  const right = Math.min(x1, widthPx);
  const bottom = Math.min(y1, heightPx);
  return [photoPoint(x0, y0), photoPoint(right, y0), photoPoint(right, bottom), photoPoint(x0, bottom)];
};

/** The caliper that was pointed out, to be snapped to its jaws. */
const caliperIn = ({ caliper }: Wishes): ReferenceCorrection | null =>
  caliper && {
    kind: 'caliper',
    handles: caliper.points.map(({ x, y }) => photoPoint(x, y)),
    pitchMm: null,
    lengthMm: caliper.openingMm,
  };

const referenceIn = ({ reference }: Verdict): PhotoReport['reference'] => {
  const plane = reference?.plane ?? reference?.unitPlane;
  if (!reference || !plane) return null;
  return {
    kind: reference.kind,
    ...(reference.pitchMm === null ? {} : { pitchMm: reference.pitchMm }),
    residualPx: plane.residualPx,
    tiltDeg: (plane.tiltRad ?? 0) * DEGREES_PER_RADIAN,
  };
};

const reportFrom = (
  photo: string,
  { stitches, photo: { remarks } }: Measurement,
  verdict: Verdict,
  timingsMs: Record<string, number>,
): PhotoReport => {
  const { gauge, reference } = verdict;
  return {
    photo,
    status: verdict.status,
    reasons: verdict.reasons,
    reference: referenceIn(verdict),
    planeMap: reference?.plane ? [...reference.plane.photoToPlane] : null,
    pitchPx: stitches.pitchPx,
    gauge: gauge && {
      stitchesPerInch: uncertainPerInch(gauge.gauge.walesPerMm),
      rowsPerInch: uncertainPerInch(gauge.gauge.coursesPerMm),
      needlePositionsPerInch: uncertainPerInch(gauge.needlePositionsPerMm),
      spiralityDeg: scaleUncertain(
        spiralityOf(gauge, reference?.plane?.relativeUncertainty ?? 0),
        DEGREES_PER_RADIAN,
      ),
    },
    face: stitches.face,
    windowPx: stitches.window?.corners.map(pair) ?? [],
    wales: reportedLines(stitches.grid?.wales ?? []),
    courses: reportedLines(stitches.grid?.courses ?? []),
    timingsMs,
    remarks,
  };
};

/** Measures one photo; whatever is wrong with it becomes a report of an unreadable photo. OpenCV must be ready. */
export const measurePhoto = async (path: string, wishes: Wishes): Promise<PhotoReport> => {
  const begun = performance.now();
  try {
    const { work, facts } = await openPhoto(bytesOf(path), decodeInNode);
    const decode = performance.now() - begun;
    const hints: MeasureHints = {
      gridPitchMm: wishes.gridPitchMm,
      tickPitchMm: wishes.tickPitchMm,
      coinDiameterMm: wishes.coinDiameterMm,
      paperSize: wishes.paperSize,
      sheetPrint: wishes.sheetPrint,
      placed: caliperIn(wishes),
      reference: wishes.reference,
      region: wishes.region && polygonFrom(wishes.region, facts),
      thicknessMm: wishes.thicknessMm,
    };
    const measurement = measure(work, facts, hints);
    const total = performance.now() - begun;
    const timingsMs = { decode, ...measurement.timingsMs, total };
    return reportFrom(path, measurement, verdictOf(measurement, hints, wishes), timingsMs);
  } catch (cause) {
    const sentence =
      cause instanceof VisionFailure
        ? cause.message
        : `This photo could not be measured because of a fault in the program (${String(cause)}).`;
    return unreadable(path, sentence, { total: performance.now() - begun });
  }
};
