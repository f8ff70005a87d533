import { basename } from 'node:path';
import type { Uncertain } from '../src/domain/gauge';
import { formatUncertain } from '../src/domain/units';
import type { PhotoReport } from './report';

const scaleIn = ({ reference }: PhotoReport): string => {
  if (!reference) return 'no reference';
  return reference.pitchMm === undefined ? reference.kind : `${reference.kind} of ${reference.pitchMm} mm`;
};

const text = ({ value, plusMinus95 }: Uncertain): string => formatUncertain(value, plusMinus95);

const numbersIn = ({ gauge, pitchPx }: PhotoReport): string => {
  if (gauge) {
    const { stitchesPerInch, needlePositionsPerInch, rowsPerInch } = gauge;
    const hasGaps = needlePositionsPerInch.value > stitchesPerInch.value * (1 + 1e-9);
    const positions = hasGaps ? ` (${text(needlePositionsPerInch)} needle positions)` : '';
    return `${text(stitchesPerInch)} stitches${positions} and ${text(rowsPerInch)} rows per inch`;
  }
  return pitchPx
    ? `${pitchPx.wale.toFixed(2)} px a stitch and ${pitchPx.course.toFixed(2)} px a row`
    : 'no stitches';
};

const statusWords: Record<PhotoReport['status'], string> = {
  measured: 'measured',
  proposal: 'to be checked',
  unreadable: 'not read',
};

/** A photo's report as one readable line. */
export const sentenceFor = (report: PhotoReport): string => {
  const why = report.reasons.join(' ');
  if (report.status === 'unreadable') return `${basename(report.photo)}: not read. ${why}`;
  const seconds = ((report.timingsMs.total ?? 0) / 1000).toFixed(1);
  const head = `${basename(report.photo)}: ${numbersIn(report)} (${statusWords[report.status]}; ${scaleIn(report)}; ${seconds} s)`;
  return [head, why, ...report.remarks].filter((part) => part !== '').join(' ');
};
