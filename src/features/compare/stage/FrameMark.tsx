import type { PhotoPoint } from '../../../domain/coordinates';
import type { Viewport } from '../../../ui/stage/viewport';
import { frameBox, frameName } from './frame';
import type { LengthUnit } from './Ruler';

/** The counting frame: the same square of fabric in every picture. */
export const FrameMark = ({
  middle,
  unit,
  view,
}: {
  readonly middle: PhotoPoint;
  readonly unit: LengthUnit;
  readonly view: Viewport;
}) => {
  const { corner, side } = frameBox(middle, unit);
  const x = view.x + corner.x * view.scale;
  const y = view.y + corner.y * view.scale;
  const size = side * view.scale;
  return (
    <g className="count-frame" data-testid="count-frame">
      <rect className="count-frame-halo" x={x} y={y} width={size} height={size} />
      <rect className="count-frame-line" x={x} y={y} width={size} height={size} />
      <text x={x + size / 2} y={y - 8} textAnchor="middle">
        {frameName[unit]}
      </text>
    </g>
  );
};
