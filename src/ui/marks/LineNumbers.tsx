import type { LineFamily } from '../../domain/grid';
import type { LineNumber } from '../../domain/lineNumbers';
import { toStage, type Viewport } from '../stage/viewport';

interface Props {
  readonly numbers: readonly LineNumber[];
  readonly family: LineFamily;
  readonly view: Viewport;
}

/** Least distance between two numbers, CSS px, so that they stay readable. */
const ROOM = { wale: 20, course: 17 } as const;
const STEPS = [1, 2, 5, 10, 20, 50];

/** Numbers of the columns along the window's upper edge, or of the rows along its left edge; as many as find room. */
export const LineNumbers = ({ numbers, family, view }: Props) => {
  const places = numbers.map((entry) => ({ ...entry, on: toStage(view, entry.at) }));
  const first = places[0];
  const last = places.at(-1);
  if (!first || !last) return null;
  const length = Math.hypot(last.on.x - first.on.x, last.on.y - first.on.y);
  const spacing = length / Math.max(1, places.length - 1);
  const step = STEPS.find((s) => s * spacing >= ROOM[family]) ?? 100;
  const shown = places.filter(
    ({ number }) =>
      number % step === 0 ||
      (number === 1 && step !== 2) ||
      (number === places.length && places.length % step > step / 2),
  );
  return (
    <g data-testid={`numbers-${family}`}>
      {shown.map(({ line, number, on }) => (
        <text
          key={line.id}
          x={family === 'wale' ? on.x : on.x - 13}
          y={family === 'wale' ? on.y - 13 : on.y + 4}
          textAnchor={family === 'wale' ? 'middle' : 'end'}
        >
          {number}
        </text>
      ))}
    </g>
  );
};
