import { paperSize } from './paper';
import { frameOrigin, type SheetPaper, type SheetShape, sheetShapes } from './referenceSheet';

const n = (value: number): string => String(Number(value.toFixed(4)));

const drawn = (shape: SheetShape): string => {
  switch (shape.kind) {
    case 'area': {
      const d = shape.rectangles
        .map((r) => `M${n(r.xMm)} ${n(r.yMm)}h${n(r.widthMm)}v${n(r.heightMm)}h${n(-r.widthMm)}z`)
        .join('');
      return `<path fill="${shape.white ? '#fff' : '#000'}" d="${d}"/>`;
    }
    case 'line': {
      const { from, to, widthMm, grey } = shape;
      const level = Math.round(255 * grey);
      return `<path stroke="rgb(${level},${level},${level})" stroke-width="${n(widthMm)}" d="M${n(from.xMm)} ${n(from.yMm)}L${n(to.xMm)} ${n(to.yMm)}"/>`;
    }
    case 'text':
      return `<text x="${n(shape.at.xMm)}" y="${n(shape.at.yMm)}" font-size="${n(shape.sizeMm)}" font-family="Helvetica,Arial,sans-serif">${shape.text}</text>`;
  }
};

/** The reference sheet as an SVG picture of the whole page; one unit is one millimetre (SVG 2, section 8.2: width and height in mm). */
export const sheetSvg = (paper: SheetPaper): string => {
  const { shortMm, longMm } = paperSize(paper);
  const { xMm, yMm } = frameOrigin(paper);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${n(shortMm)}mm" height="${n(longMm)}mm" viewBox="0 0 ${n(shortMm)} ${n(longMm)}">`,
    `<title>Walewright reference sheet, ${paper}</title>`,
    `<rect width="${n(shortMm)}" height="${n(longMm)}" fill="#fff"/>`,
    `<g transform="translate(${n(xMm)} ${n(yMm)})">`,
    ...sheetShapes().map(drawn),
    '</g></svg>',
    '',
  ].join('\n');
};
