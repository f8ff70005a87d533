import type { GridLines, OpenQuestion, ReferenceKind, ScaleReference } from '../../../domain/measurement';
import { usualTicksMm } from '../../../domain/rulerScale';
import { gridQuestions, lengthWords } from '../../../ui/stepWords';

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

const usualTicks = [
  { label: '1 mm', mm: 1 },
  { label: '1/16 inch', mm: 25.4 / 16 },
];

/** The spacings that the longer marks of a ruler speak for come first; the usual ones are always among the answers. */
const tickAsk = (longMarkEvery: number | null): Ask => {
  if (longMarkEvery === null) return asks.tickPitch;
  const fitting = usualTicksMm(longMarkEvery).map((mm) => ({ label: lengthWords(mm), mm }));
  const others = usualTicks.filter(({ label }) => fitting.every((choice) => choice.label !== label));
  return { ...asks.tickPitch, choices: [...fitting, ...others] };
};

/** A printed sheet is asked about in a form of its own. */
const asks: Readonly<Record<Exclude<OpenQuestion, null | 'checkRulers'>, Ask>> = {
  gridPitch: {
    question: gridQuestions.heavy,
    choices: byInchOrCentimetre,
    example: '1/2 in or 5 cm',
    confirmed: 'From one heavy line to the next.',
  },
  tickPitch: {
    question: 'How far apart are the marks of this ruler?',
    choices: usualTicks,
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
  question: gridQuestions.neighbouring,
  confirmed: 'From one line to the next.',
};

/** Lines that may be heavy ones or not are known by what is drawn. */
const drawnAsk: Ask = {
  ...asks.gridPitch,
  question: gridQuestions.unclear,
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
  if (reference.question === 'checkRulers') return null;
  const name = reference.question ?? (reference.pitchMm === null ? undefined : usualQuestion[reference.kind]);
  if (name === 'length' && reference.kind === 'caliper') return caliperAsk;
  if (name === 'tickPitch') return tickAsk(reference.longMarkEvery ?? null);
  return name === undefined ? null : asks[name];
};
