import type { CardFacts } from './cardFacts';

/** What the picture of a card is made of. */
export interface CardContents {
  readonly facts: CardFacts;
  /** The yarn's colour, #rrggbb; null when none is known. */
  readonly colour: string | null;
  readonly swatch: HTMLCanvasElement | null;
  readonly landmark: HTMLCanvasElement | null;
}

const WIDTH = 1200;
const EDGE = 56;
const LABEL = 150;
/** A window that is a little higher than wide still fills the width. */
const MOST_SWATCH_HEIGHT = 1300;
const INK = '#22282e';
const SOFT = '#55606a';
const PAPER = '#faf7f1';
const PLAIN = 'ui-sans-serif, system-ui, "Segoe UI", Roboto, "Noto Sans", sans-serif';
const SERIF = '"Iowan Old Style", "Palatino Linotype", Palatino, "URW Palladio L", Georgia, serif';

/** Text broken into lines that fit; a word that is too long alone is broken anywhere. */
const linesOf = (context: CanvasRenderingContext2D, text: string, width: number): string[] => {
  const fits = (line: string): boolean => context.measureText(line).width <= width;
  return text.split('\n').flatMap((paragraph) => {
    const lines: string[] = [];
    let line = '';
    for (const word of paragraph.split(/(?<=\s)/)) {
      if (fits(line + word.trimEnd())) {
        line += word;
        continue;
      }
      if (line) lines.push(line);
      line = '';
      for (const letter of word) {
        if (!fits(line + letter)) {
          lines.push(line);
          line = '';
        }
        line += letter;
      }
    }
    return [...lines, line];
  });
};

/** A hand that writes down the page: each call sets a text and moves below it. */
const createPen = (context: CanvasRenderingContext2D, top: number) => {
  let y = top;
  return {
    y: () => y,
    skip: (by: number) => {
      y += by;
    },
    write: (text: string, font: string, colour: string, lineHeight: number, x = EDGE): void => {
      context.font = font;
      context.fillStyle = colour;
      for (const line of linesOf(context, text, WIDTH - EDGE - x)) {
        y += lineHeight;
        context.fillText(line, x, y - 0.28 * lineHeight);
      }
    },
  };
};
type Pen = ReturnType<typeof createPen>;

const picture = (
  context: CanvasRenderingContext2D,
  pen: Pen,
  canvas: HTMLCanvasElement,
  most: { readonly width: number; readonly height: number },
): void => {
  const scale = Math.min(most.width / canvas.width, most.height / canvas.height);
  const width = canvas.width * scale;
  context.drawImage(canvas, EDGE + (most.width - width) / 2, pen.y(), width, canvas.height * scale);
  pen.skip(canvas.height * scale);
};

const gaugePart = (pen: Pen, { stitches, rows, per10Cm }: CardFacts): void => {
  if (stitches === null || rows === null) {
    pen.write('No gauge yet', `600 40px ${SERIF}`, INK, 60);
    return;
  }
  pen.write(`${stitches} stitches × ${rows} rows`, `600 54px ${SERIF}`, INK, 70);
  pen.write(`per inch · ${per10Cm ?? ''}`, `400 24px ${PLAIN}`, SOFT, 36);
};

const draw = (canvas: HTMLCanvasElement, { facts, colour, swatch, landmark }: CardContents): number => {
  const context = canvas.getContext('2d');
  if (!context) return 0;
  context.fillStyle = PAPER;
  context.fillRect(0, 0, canvas.width, canvas.height);
  const pen = createPen(context, EDGE);
  if (swatch) picture(context, pen, swatch, { width: WIDTH - 2 * EDGE, height: MOST_SWATCH_HEIGHT });
  pen.skip(16);
  gaugePart(pen, facts);
  pen.skip(14);
  if (colour) {
    context.beginPath();
    context.arc(EDGE + 15, pen.y() + 26, 15, 0, 2 * Math.PI);
    context.fillStyle = colour;
    context.fill();
  }
  pen.write(facts.title, `600 34px ${SERIF}`, INK, 48, colour ? EDGE + 44 : EDGE);
  if (facts.yarnLine) pen.write(facts.yarnLine, `400 24px ${PLAIN}`, SOFT, 34);
  pen.skip(14);
  for (const [label, text] of facts.lines) {
    context.font = `600 24px ${PLAIN}`;
    context.fillStyle = SOFT;
    context.fillText(label, EDGE, pen.y() + 26);
    pen.write(text, `400 24px ${PLAIN}`, INK, 36, EDGE + LABEL);
  }
  if (landmark) {
    pen.skip(20);
    picture(context, pen, landmark, { width: 520, height: 390 });
  }
  return pen.y() + EDGE;
};

/** A swatch's card as one picture. */
export const drawCard = (contents: CardContents): HTMLCanvasElement => {
  const canvas = document.createElement('canvas');
  canvas.width = WIDTH;
  canvas.height = 1;
  // The first round only finds out how high it gets.
  canvas.height = Math.max(1, Math.ceil(draw(canvas, contents)));
  draw(canvas, contents);
  return canvas;
};

/** A canvas as a PNG file; null when the browser cannot. */
export const toPng = (canvas: HTMLCanvasElement): Promise<Blob | null> =>
  new Promise((done) => canvas.toBlob(done, 'image/png'));
