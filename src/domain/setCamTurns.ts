import type { NutDirection } from './turns';

const FRACTIONS: Record<number, string> = {
  1: '1/16',
  2: '⅛',
  3: '3/16',
  4: '¼',
  5: '5/16',
  6: '⅜',
  7: '7/16',
  8: '½',
  9: '9/16',
  10: '⅝',
  11: '11/16',
  12: '¾',
  13: '13/16',
  14: '⅞',
  15: '15/16',
};

/** A count of turns as whole turns and the rest, with its text; sixteenths are the finest. */
export interface TurnCount {
  readonly turns: number;
  readonly whole: number;
  /** The rest in quarters; not a whole number when finer steps were needed. */
  readonly quarters: number;
  /** As shown: "1¾", "¼", "2". */
  readonly text: string;
}

/** Puts a count of turns into words, rounded to a sixteenth. */
export const turnCount = (turns: number): TurnCount => {
  const sixteenths = Math.round(turns * 16);
  const whole = Math.floor(sixteenths / 16);
  const rest = sixteenths % 16;
  const fraction = FRACTIONS[rest] ?? '';
  const gap = whole > 0 && fraction.includes('/') ? ' ' : '';
  return {
    turns: sixteenths / 16,
    whole,
    quarters: rest / 4,
    text: whole === 0 ? fraction || '0' : `${whole}${gap}${fraction}`,
  };
};

/** The other way round. */
export const oppositeOf = (direction: NutDirection): NutDirection =>
  direction === 'clockwise' ? 'anticlockwise' : 'clockwise';

/** "1¾ turns", "¼ turn". */
export const turnWords = (count: TurnCount): string => `${count.text} ${count.turns > 1 ? 'turns' : 'turn'}`;
