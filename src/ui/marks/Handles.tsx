import type { PhotoPoint } from '../../domain/coordinates';
import { toStage, type Viewport } from '../stage/viewport';

interface Props {
  readonly points: readonly PhotoPoint[];
  readonly view: Viewport;
  readonly shape: 'round' | 'square';
  /** Index of the one that is held or chosen by key. */
  readonly active: number | null;
  readonly name: string;
}

/** Grips nearer to one another than this, CSS px, would hide what lies between them: a coin on a phone. */
const crowdedPx = 60;

const isCrowded = (spots: readonly { readonly x: number; readonly y: number }[]): boolean =>
  spots.some((a, i) => spots.slice(0, i).some((b) => Math.hypot(a.x - b.x, a.y - b.y) < crowdedPx));

/** Grips for dragging. They look small so that the photo stays visible; what counts as touching them is larger. */
export const Handles = ({ points, view, shape, active, name }: Props) => {
  const spots = points.map((point) => toStage(view, point));
  const seeThrough = shape === 'round' && isCrowded(spots);
  return (
    <g>
      {spots.map(({ x, y }, index) => {
        const held = index === active;
        const size = held ? 10 : seeThrough ? 5 : 7.5;
        const paint = {
          fill: held ? 'var(--line-chosen)' : seeThrough ? 'rgb(255 255 255 / 35%)' : '#ffffff',
          stroke: 'rgb(14 17 20 / 85%)',
          strokeWidth: 2,
        };
        const key = `${name}-${index}`;
        return shape === 'round' ? (
          <circle key={key} data-handle={key} cx={x} cy={y} r={size} {...paint} />
        ) : (
          <rect
            key={key}
            data-handle={key}
            x={x - size}
            y={y - size}
            width={2 * size}
            height={2 * size}
            rx={2.5}
            {...paint}
          />
        );
      })}
    </g>
  );
};
