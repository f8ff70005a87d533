import { basename } from 'node:path';
import { formatUncertain } from '../src/domain/units';
import type { PhotoReport } from './report';

const scaleIn = ({ reference }: PhotoReport): string => {
  if (!reference) return 'no reference';
  return reference.pitchMm === undefined ? reference.kind : `${reference.kind} of ${reference.pitchMm} mm`;
};

const numbersIn = ({ gauge, pitchPx }: PhotoReport): string => {
  if (gauge) {
    const { stitchesPerInch, rowsPerInch } = gauge;
    return `${formatUncertain(stitchesPerInch.value, stitchesPerInch.plusMinus95)} stitches and ${formatUncertain(rowsPerInch.value, rowsPerInch.plusMinus95)} rows per inch`;
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
