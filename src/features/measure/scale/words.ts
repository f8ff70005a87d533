import { usualStepNear } from '../../../domain/measuredStep';
import type { GridLines, ReferenceKind, ScaleReference } from '../../../domain/measurement';
import { formatLength, MM_PER_INCH } from '../../../domain/units';

/** What each kind of reference is called. */
export const kindNames: Readonly<Record<ReferenceKind, string>> = {
  grid: 'Cutting mat',
  card: 'Card',
  twoPoints: 'Two points',
  ruler: 'Ruler',
  coin: 'Coin',
  paper: 'Sheet of paper',
  sheet: 'Printed sheet',
  caliper: 'Caliper',
};

/** A question about the size of a reference, with the usual answers. */
export interface Ask {
  readonly question: string;
  readonly choices: readonly { readonly label: string; readonly mm: number }[];
  /** What a typed answer may look like. */
  readonly example: string;
  /** What the answer means once given. */
  readonly confirmed: string;
}

const byInchOrCentimetre = [
  { label: '1 inch', mm: 25.4 },
  { label: '1 cm', mm: 10 },
];

const asks: Readonly<Record<Exclude<ScaleReference['question'], null>, Ask>> = {
  gridPitch: {
    question: 'How far apart are the heavy lines of this mat?',
    choices: byInchOrCentimetre,
    example: '1/2 in or 5 cm',
    confirmed: 'From one heavy line to the next.',
  },
  tickPitch: {
    question: 'How far apart are the marks of this ruler?',
    choices: [
      { label: '1 mm', mm: 1 },
      { label: '1/16 inch', mm: 25.4 / 16 },
    ],
    example: '1/8 in or 5 mm',
    confirmed: 'From one mark to the next.',
  },
  coinDiameter: {
    question: 'Which coin is it?',
    choices: [],
    example: '23.25 mm',
    confirmed: 'Across the coin.',
  },
  paperSize: {
    question: 'Which size is this sheet of paper?',
    choices: [],
    example: '210 mm',
    confirmed: 'Along the longer side.',
  },
  length: {
    question: 'How far apart are the two points?',
    choices: [],
    example: '2 in or 50 mm',
    confirmed: 'Between the two points.',
  },
};

const caliperAsk: Ask = {
  question: 'What does the caliper read?',
  choices: [],
  example: '1 in or 25.4 mm',
  confirmed: 'Between the jaws.',
};

const usualQuestion: Partial<Record<ReferenceKind, keyof typeof asks>> = {
  grid: 'gridPitch',
  ruler: 'tickPitch',
  coin: 'coinDiameter',
  paper: 'paperSize',
  twoPoints: 'length',
  caliper: 'length',
};

/** Where all lines of a mat look alike there is no heavy one to ask about. */
const neighbouringAsk: Ask = {
  ...asks.gridPitch,
  question: 'How far apart are two neighbouring lines of this mat?',
  confirmed: 'From one line to the next.',
};

/** Lines that may be heavy ones or not are known by what is drawn. */
const drawnAsk: Ask = {
  ...asks.gridPitch,
  question: 'How far apart are two neighbouring lines of those that are drawn on the photo now?',
  confirmed: 'From one drawn line to the next.',
};

const gridAsks: Readonly<Record<GridLines, Ask>> = {
  heavy: asks.gridPitch,
  neighbouring: neighbouringAsk,
  unclear: drawnAsk,
};

/** What must be asked about a reference, or was asked before it was confirmed; null when its size is fixed. */
export const askOf = (reference: ScaleReference): Ask | null => {
  if (reference.kind === 'grid') return gridAsks[reference.gridLines ?? 'heavy'];
  const name = reference.question ?? (reference.pitchMm === null ? undefined : usualQuestion[reference.kind]);
  if (name === 'length' && reference.kind === 'caliper') return caliperAsk;
  return name === undefined ? null : asks[name];
};

/** Whole inches and the fractions that rulers and mats are divided in, as they are said; null for any other length. */
const inchWords = (mm: number): string | null => {
  let parts = (32 * mm) / MM_PER_INCH;
  if (parts < 0.5 || Math.abs(parts - Math.round(parts)) > 1e-6) return null;
  parts = Math.round(parts);
  let among = 32;
  while (parts % 2 === 0 && among > 1) {
    parts /= 2;
    among /= 2;
  }
  if (among > 1) return parts < among ? `${parts}/${among} inch` : null;
  return parts === 1 ? '1 inch' : `${parts} inches`;
};

/** A step as people say it: "1 inch", "1/16 inch", "1 cm", otherwise millimetres. */
export const lengthWords = (mm: number): string => {
  const inches = inchWords(mm);
  if (inches !== null) return inches;
  if (Math.abs(mm - 10) < 1e-6) return '1 cm';
  return Number.isInteger(mm) ? `${mm} mm` : formatLength(mm, 'mm');
};

/** The spacing of a mat's lines: what it is meant to be, and what it really measures where that was found out. */
export const stepWords = (mm: number): string => {
  const usual = usualStepNear(mm);
  return usual === null || Math.abs(mm - usual) < 1e-6
    ? lengthWords(mm)
    : `${lengthWords(usual)}, measured ${formatLength(mm, 'mm')}`;
};
