import { paperSize } from './paper';
import {
  type FramePoint,
  frameOrigin,
  type SheetPaper,
  type SheetShape,
  sheetShapes,
} from './referenceSheet';
import { MM_PER_INCH } from './units';

/** PDF counts in points, 72 to the inch, from the page's lower left corner upwards (ISO 32000-1:2008, 8.3.2.3). */
const POINTS_PER_MM = 72 / MM_PER_INCH;

const n = (points: number): string => String(Number(points.toFixed(4)));

const escaped = (text: string): string => text.replace(/[\\()]/g, '\\$&');

/** Path and text operators of ISO 32000-1:2008, tables 59, 60 and 109. */
const operatorsFor = (paper: SheetPaper): ((shape: SheetShape) => string) => {
  const origin = frameOrigin(paper);
  const { longMm } = paperSize(paper);
  const x = (mm: number): string => n((origin.xMm + mm) * POINTS_PER_MM);
  const y = (mm: number): string => n((longMm - origin.yMm - mm) * POINTS_PER_MM);
  const length = (mm: number): string => n(mm * POINTS_PER_MM);
  const at = ({ xMm, yMm }: FramePoint): string => `${x(xMm)} ${y(yMm)}`;
  return (shape) => {
    switch (shape.kind) {
      case 'area':
        return `${shape.white ? 1 : 0} g\n${shape.rectangles
          .map((r) => `${x(r.xMm)} ${y(r.yMm + r.heightMm)} ${length(r.widthMm)} ${length(r.heightMm)} re`)
          .join('\n')}\nf`;
      case 'line':
        return `${shape.grey} G ${length(shape.widthMm)} w ${at(shape.from)} m ${at(shape.to)} l S`;
      case 'text':
        return `0 g BT /F1 ${length(shape.sizeMm)} Tf ${at(shape.at)} Td (${escaped(shape.text)}) Tj ET`;
    }
  };
};

/**
 * The reference sheet as a PDF of one page at true size: paths and one of the standard fonts, nothing embedded, and the wish that a
 * viewer does not scale it when printing (ISO 32000-1:2008, 7.5 for the file's structure, 12.2 for the wish).
 */
export const sheetPdf = (paper: SheetPaper): string => {
  const { shortMm, longMm } = paperSize(paper);
  const content = sheetShapes().map(operatorsFor(paper)).join('\n');
  const box = `[0 0 ${n(shortMm * POINTS_PER_MM)} ${n(longMm * POINTS_PER_MM)}]`;
  const objects = [
    '<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None >> >>',
    '<< /Type /Pages /Kids [3 0 R] /Count 1 >>',
    `<< /Type /Page /Parent 2 0 R /MediaBox ${box} /Contents 4 0 R /Resources << /Font << /F1 5 0 R >> >> >>`,
    `<< /Length ${content.length} >>\nstream\n${content}\nendstream`,
    '<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>',
  ];
  let file = '%PDF-1.7\n';
  const offsets = objects.map((object, i) => {
    const offset = file.length;
    file += `${i + 1} 0 obj\n${object}\nendobj\n`;
    return offset;
  });
  const table = offsets.map((offset) => `${String(offset).padStart(10, '0')} 00000 n \n`).join('');
  return `${file}xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${table}trailer\n<< /Size ${objects.length + 1} /Root 1 0 R >>\nstartxref\n${file.length}\n%%EOF\n`;
};
