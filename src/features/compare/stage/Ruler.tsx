import { useRef } from 'react';
import { SHEET_PER_MM } from '../../../domain/compareViewFlat';
import type { ViewState } from '../../../ui/stage/viewport';
import type { SharedView } from './sharedView';
import { useFollowing } from './useFollowing';

/** How lengths are shown on this screen. */
export type LengthUnit = 'in' | 'cm';

interface Props {
  readonly view: SharedView;
  /** The view that the marks are drawn for. */
  readonly rested: ViewState;
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

/** Marks along an edge of this length and as much again beyond both ends, CSS px, so that a pan finds some there. */
const marksAlong = (zeroPx: number, stepPx: number, parts: number, length: number): Mark[] => {
  const every = [1, 2, parts / 2, parts].find((n) => (stepPx / parts) * n >= CLOSEST) ?? parts;
  const partPx = stepPx / parts;
  const first = Math.ceil((-length - zeroPx) / partPx / every) * every;
  const marks: Mark[] = [];
  for (let n = first; zeroPx + n * partPx <= 2 * length; n += every) {
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
export const Ruler = ({ view, rested, unit, zero }: Props) => {
  const along = useRef<SVGSVGElement>(null);
  const down = useRef<SVGSVGElement>(null);
  useFollowing(view, along, 'x');
  useFollowing(view, down, 'y');
  const { stage, view: at } = rested;
  const { mm, parts } = steps[unit];
  const stepPx = mm * SHEET_PER_MM * at.scale;
  const across = marksAlong(at.x + zero.x * at.scale, stepPx, parts, stage.width);
  const upright = marksAlong(at.y + zero.y * at.scale, stepPx, parts, stage.height);
  const numbered = (marks: readonly Mark[]): readonly Mark[] =>
    marks.filter((m) => m.number !== null && (stepPx > 26 || m.number % 5 === 0));
  return (
    <div className="ruler" data-step-px={stepPx} aria-hidden="true">
      <div className="ruler-down">
        <svg ref={down} aria-hidden="true" width={BAND} height={stage.height}>
          <path d={upright.map((m) => `M${BAND} ${m.at.toFixed(1)}h${-lengthOf(m)}`).join('')} />
          {numbered(upright).map((m) => (
            <text key={m.number} x={2} y={m.at - 3}>
              {m.number}
            </text>
          ))}
        </svg>
      </div>
      <div className="ruler-along">
        <svg ref={along} aria-hidden="true" width={stage.width} height={BAND}>
          <path d={across.map((m) => `M${m.at.toFixed(1)} 0v${lengthOf(m)}`).join('')} />
          {numbered(across).map((m) => (
            <text key={m.number} x={m.at + 3} y={BAND - 3}>
              {m.number}
            </text>
          ))}
        </svg>
        <span className="ruler-unit">{unit}</span>
      </div>
    </div>
  );
};
