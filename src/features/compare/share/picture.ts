import { gridOnSheet, SHEET_PER_MM, type SheetPicture, windowOnSheet } from '../../../domain/compareViewFlat';
import type { PhotoPoint } from '../../../domain/coordinates';
import type { DerivedGrid } from '../../../store/measureSessionGrid';
import { gridPainter, type LineColours } from '../../../ui/marks/paintGrid';
import { frameBox, frameName } from '../stage/frame';
import type { LengthUnit } from '../stage/Ruler';
import type { TableRow } from '../table/rows';

/** One swatch as the picture shows it. */
export interface PicturedSide {
  readonly name: string;
  readonly title: string;
  readonly subtitle: string;
  readonly canvas: HTMLCanvasElement;
  readonly picture: SheetPicture;
  readonly derived: DerivedGrid;
}

export interface PictureContents {
  readonly sides: readonly PicturedSide[];
  /** What is shown in the middle of every field. */
  readonly middle: PhotoPoint;
  readonly unit: LengthUnit;
  readonly showsLines: boolean;
  readonly colours: LineColours;
  /** Sentences to know before the numbers; none for the pictures alone. */
  readonly flags: readonly string[];
  readonly rows: readonly TableRow[];
}

/** Side of each field in fabric: two frames. */
const FIELD_MM: Readonly<Record<LengthUnit, number>> = { in: 50.8, cm: 50 };
const WIDTH = 1600;
const EDGE = 48;
const GAP = 20;
const INK = '#22282e';
const SOFT = '#55606a';
const PAPER = '#faf7f1';
const SIGNAL = '#a63f17';
const PLAIN = 'ui-sans-serif, system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif';
const SERIF = '"Iowan Old Style", "Palatino Linotype", Palatino, "URW Palladio L", Georgia, serif';

/** Text broken into lines that fit. */
const linesOf = (context: CanvasRenderingContext2D, text: string, width: number): string[] => {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line ? `${line} ${word}` : word;
    if (line && context.measureText(longer).width > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return [...lines, line];
};

/** As much of a text as fits on one line, with an ellipsis where it was cut. */
const fitted = (context: CanvasRenderingContext2D, text: string, width: number): string => {
  if (context.measureText(text).width <= width) return text;
  let kept = text;
  while (kept.length > 1 && context.measureText(`${kept}…`).width > width) kept = kept.slice(0, -1);
  return `${kept.trimEnd()}…`;
};

const drawRuler = (
  context: CanvasRenderingContext2D,
  at: { readonly x: number; readonly y: number; readonly side: number },
  unit: LengthUnit,
): void => {
  const steps = unit === 'in' ? 2 : 5;
  const parts = unit === 'in' ? 8 : 10;
  const step = at.side / steps;
  context.fillStyle = 'rgb(244 238 226 / 92%)';
  context.fillRect(at.x, at.y + at.side - 26, at.side, 26);
  context.strokeStyle = INK;
  context.lineWidth = 1.5;
  context.beginPath();
  for (let n = 0; n <= steps * parts; n += 1) {
    const x = at.x + (n * step) / parts;
    context.moveTo(x, at.y + at.side - 26);
    context.lineTo(x, at.y + at.side - 26 + (n % parts === 0 ? 14 : n % (parts / 2) === 0 ? 10 : 6));
  }
  context.stroke();
  context.fillStyle = INK;
  context.font = `600 15px ${PLAIN}`;
  for (let n = 0; n < steps; n += 1) {
    context.fillText(n === 0 ? `0 ${unit}` : String(n), at.x + n * step + 5, at.y + at.side - 4);
  }
};

/** One field of fabric: photo, lines, frame and ruler. */
const drawField = (
  context: CanvasRenderingContext2D,
  side: PicturedSide,
  contents: PictureContents,
  at: { readonly x: number; readonly y: number; readonly side: number },
): void => {
  const { middle, unit } = contents;
  const units = FIELD_MM[unit] * SHEET_PER_MM;
  const scale = at.side / units;
  const view = {
    scale,
    x: at.x - scale * (middle.x - units / 2),
    y: at.y - scale * (middle.y - units / 2),
  };
  context.save();
  context.beginPath();
  context.rect(at.x, at.y, at.side, at.side);
  context.clip();
  context.fillStyle = '#1d2226';
  context.fillRect(at.x, at.y, at.side, at.side);
  context.setTransform(scale, 0, 0, scale, view.x, view.y);
  const { box } = side.picture;
  context.imageSmoothingQuality = 'high';
  context.drawImage(side.canvas, box.x, box.y, box.width, box.height);
  if (contents.showsLines) {
    gridPainter({
      grid: gridOnSheet(side.derived.grid, side.picture),
      window: side.derived.window && windowOnSheet(side.derived.window, side.picture),
      active: null,
      chosen: null,
      ghost: null,
      pitchPx: null,
      colours: contents.colours,
    })(context, view, 1);
  }
  context.setTransform(1, 0, 0, 1, 0, 0);
  const frame = frameBox(middle, unit);
  const [x, y] = [view.x + frame.corner.x * scale, view.y + frame.corner.y * scale];
  for (const [width, colour] of [
    [6, 'rgb(14 17 20 / 75%)'],
    [3, contents.colours.chosen],
  ] as const) {
    context.lineWidth = width;
    context.strokeStyle = colour;
    context.strokeRect(x, y, frame.side * scale, frame.side * scale);
  }
  context.font = `650 22px ${PLAIN}`;
  context.textAlign = 'center';
  context.lineWidth = 5;
  context.strokeStyle = 'rgb(14 17 20 / 85%)';
  context.fillStyle = '#ffffff';
  const [middleX, above] = [x + (frame.side * scale) / 2, y - 14];
  context.strokeText(frameName[unit], middleX, above);
  context.fillText(frameName[unit], middleX, above);
  context.textAlign = 'left';
  drawRuler(context, at, unit);
  context.restore();
};

const drawTable = (
  context: CanvasRenderingContext2D,
  { rows, flags, sides }: PictureContents,
  from: number,
): number => {
  const right = WIDTH - EDGE;
  const column = Math.min(300, (WIDTH - 2 * EDGE - 340) / sides.length);
  let y = from;
  context.font = `500 22px ${PLAIN}`;
  for (const flag of flags) {
    for (const line of linesOf(context, `! ${flag}`, WIDTH - 2 * EDGE)) {
      context.fillStyle = SIGNAL;
      context.fillText(line, EDGE, y);
      y += 30;
    }
  }
  y += flags.length > 0 ? 14 : 0;
  for (const row of rows) {
    if (row.values.every((value) => value === null)) continue;
    context.fillStyle = '#d5ccbb';
    context.fillRect(EDGE, y - 28, WIDTH - 2 * EDGE, 1.5);
    context.fillStyle = INK;
    context.font = `600 24px ${PLAIN}`;
    context.textAlign = 'left';
    context.fillText(row.label, EDGE, y);
    context.font = `500 24px ${PLAIN}`;
    context.textAlign = 'right';
    row.values.forEach((value, i) => {
      context.fillText(value ?? '–', right - (row.values.length - 1 - i) * column, y);
    });
    context.textAlign = 'left';
    y += 32;
    row.verdicts.forEach((verdict, i) => {
      if (!verdict) return;
      const to = sides.length > 2 ? `${sides[i + 1]?.name} to ${sides[0]?.name}: ` : '';
      context.font = `${verdict.kind === 'real' ? 600 : 400} 21px ${PLAIN}`;
      context.fillStyle = verdict.kind === 'real' ? SIGNAL : SOFT;
      context.fillText(to + verdict.text, EDGE, y);
      y += 30;
    });
    y += 14;
  }
  return y;
};

const drawAll = (canvas: HTMLCanvasElement, contents: PictureContents): number => {
  const context = canvas.getContext('2d');
  if (!context) return 0;
  const { sides } = contents;
  context.fillStyle = PAPER;
  context.fillRect(0, 0, canvas.width, canvas.height);
  const side = (WIDTH - 2 * EDGE - (sides.length - 1) * GAP) / sides.length;
  let lowest = 0;
  sides.forEach((entry, i) => {
    const x = EDGE + i * (side + GAP);
    drawField(context, entry, contents, { x, y: EDGE, side });
    context.fillStyle = INK;
    context.textAlign = 'left';
    context.font = `600 30px ${SERIF}`;
    context.fillText(fitted(context, `${entry.name}  ${entry.title}`, side), x, EDGE + side + 40);
    context.fillStyle = SOFT;
    context.font = `400 20px ${PLAIN}`;
    linesOf(context, entry.subtitle, side).forEach((line, n) => {
      context.fillText(line, x, EDGE + side + 70 + 26 * n, side);
      lowest = Math.max(lowest, EDGE + side + 70 + 26 * n);
    });
  });
  return drawTable(context, contents, lowest + 62) + EDGE - 28;
};

/** Everything in one picture: the fabrics at one scale, and below them the numbers. */
export const drawPicture = (contents: PictureContents): HTMLCanvasElement => {
  const canvas = document.createElement('canvas');
  canvas.width = WIDTH;
  canvas.height = 1;
  // The first round only finds out how high it gets.
  canvas.height = Math.max(1, Math.ceil(drawAll(canvas, contents)));
  drawAll(canvas, contents);
  return canvas;
};
