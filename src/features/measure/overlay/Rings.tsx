import type { PhotoPoint } from '../../../domain/coordinates';
import { toStage, type Viewport } from '../../../ui/stage/viewport';

/** More rings than this would hide the fabric instead of pointing at something. */
const MOST = 12;

/** Rings round places that deserve a look. */
export const Rings = ({
  places,
  view,
}: {
  readonly places: readonly PhotoPoint[];
  readonly view: Viewport;
}) => (
  <g fill="none">
    {places.slice(0, MOST).map((place) => {
      const { x, y } = toStage(view, place);
      return (
        <g key={`${place.x} ${place.y}`}>
          <circle cx={x} cy={y} r={13} stroke="var(--line-halo)" strokeWidth={4.5} />
          <circle cx={x} cy={y} r={13} stroke="var(--line-chosen)" strokeWidth={2} />
        </g>
      );
    })}
  </g>
);
