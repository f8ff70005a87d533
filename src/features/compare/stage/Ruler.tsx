import { SHEET_PER_MM } from '../../../domain/compareViewFlat';
import type { Size, Viewport } from '../../../ui/stage/viewport';

/** How lengths are shown on this screen. */
export type LengthUnit = 'in' | 'cm';

interface Props {
  readonly view: Viewport;
  readonly stage: Size;
  readonly unit: LengthUnit;
  /** Where zero stands, in units of the sheet. */
  readonly zero: { readonly x: number; readonly y: number };
}

/** Millimetres of the numbered step and into how many parts it is divided. */
const steps: Readonly<Record<LengthUnit, { readonly mm: number; readonly parts: number }>> = {
  in: { mm: 25.4, parts: 8 },
  cm: { mm: 10, parts: 10 },
};

/** Marks stand no closer than this, CSS px. */
const CLOSEST = 4;
const BAND = 22;

interface Mark {
  readonly at: number;
  /** Whole steps from zero; null for the marks between. */
  readonly number: number | null;
  readonly half: boolean;
}

const marksAlong = (zeroPx: number, stepPx: number, parts: number, length: number): Mark[] => {
  const every = [1, 2, parts / 2, parts].find((n) => (stepPx / parts) * n >= CLOSEST) ?? parts;
  const partPx = stepPx / parts;
  const first = Math.ceil(-zeroPx / partPx / every) * every;
  const marks: Mark[] = [];
  for (let n = first; zeroPx + n * partPx <= length; n += every) {
    const whole = n % parts === 0;
    marks.push({
      at: zeroPx + n * partPx,
      number: whole ? n / parts : null,
      half: !whole && n % (parts / 2) === 0,
    });
  }
  return marks;
};

const lengthOf = (mark: Mark): number => (mark.number !== null ? 12 : mark.half ? 9 : 5);

/** A ruler along the lower and the left edge of each picture, its zero at the frame: the same in all of them. */
export const Ruler = ({ view, stage, unit, zero }: Props) => {
  const { mm, parts } = steps[unit];
  const stepPx = mm * SHEET_PER_MM * view.scale;
  const along = marksAlong(view.x + zero.x * view.scale, stepPx, parts, stage.width);
  const down = marksAlong(view.y + zero.y * view.scale, stepPx, parts, stage.height - BAND);
  const bottom = stage.height;
  const path = [
    ...along.map((m) => `M${m.at.toFixed(1)} ${bottom - BAND}v${lengthOf(m)}`),
    ...down.map((m) => `M${BAND} ${m.at.toFixed(1)}h${-lengthOf(m)}`),
  ].join('');
  const sparse = (marks: readonly Mark[]): readonly Mark[] =>
    marks.filter((m) => m.number !== null && (stepPx > 26 || m.number % 5 === 0));
  return (
    <g className="ruler" data-step-px={stepPx}>
      <path className="ruler-band" d={`M0 0H${BAND}V${bottom - BAND}H${stage.width}V${bottom}H0Z`} />
      <path className="ruler-marks" d={path} />
      {sparse(along).map((m) => (
        <text key={`x${m.number}`} x={m.at + 3} y={bottom - 3}>
          {m.number}
        </text>
      ))}
      {sparse(down).map((m) => (
        <text key={`y${m.number}`} x={2} y={m.at - 3}>
          {m.number}
        </text>
      ))}
      <text x={3} y={bottom - 5} className="ruler-unit">
        {unit}
      </text>
    </g>
  );
};
