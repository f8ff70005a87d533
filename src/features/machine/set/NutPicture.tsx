import type { SetCamGuidance } from '../../../domain/setCam';

const CENTRE = 120;
const INNER = 62;
/** Further than this the drawing is full; the number in its middle tells the rest. */
const MOST_TURNS = 3;
const FULL_TURN = 2 * Math.PI;

interface Place {
  readonly x: number;
  readonly y: number;
}

/** A place on the picture by angle from the top, clockwise positive, and distance from the middle. */
const at = (angle: number, radius: number): Place => ({
  x: CENTRE + radius * Math.sin(angle),
  y: CENTRE - radius * Math.cos(angle),
});

const text = ({ x, y }: Place): string => `${x.toFixed(1)} ${y.toFixed(1)}`;

/** A spiral from one angle to another, its distance from the middle going along evenly. */
const spiral = (from: number, to: number, radiusFrom: number, radiusTo: number): string => {
  const count = Math.max(8, Math.ceil((Math.abs(to - from) / FULL_TURN) * 48));
  const places = Array.from({ length: count + 1 }, (_, i) => {
    const share = i / count;
    return text(at(from + share * (to - from), radiusFrom + share * (radiusTo - radiusFrom)));
  });
  return `M${places.join('L')}`;
};

/** The head of an arrow that ends at an angle, pointing the way it went. */
const head = (angle: number, radius: number, sign: 1 | -1, size: number): string => {
  const back = angle - (sign * size) / radius;
  return `M${text(at(back, radius + size * 0.62))}L${text(at(angle, radius))}L${text(at(back, radius - size * 0.62))}`;
};

const hexagon = Array.from({ length: 6 }, (_, i) => text(at((i * FULL_TURN) / 6, 46))).join('L');

/** The nut from above with a large arrow: how far it turns, and how far past it goes before it comes back. */
export const NutPicture = ({ guidance }: { readonly guidance: SetCamGuidance }) => {
  const { direction, turns, past } = guidance;
  if (direction === null) return null;
  const sign = direction === 'clockwise' ? 1 : -1;
  const end = sign * FULL_TURN * Math.min(MOST_TURNS, turns.turns + (past?.turns ?? 0));
  const comeBack = end - sign * FULL_TURN * Math.min(MOST_TURNS, past?.turns ?? 0);
  const rim = INNER + 12 * Math.max(1, Math.abs(end) / FULL_TURN);
  const outside = rim + 18;
  const reach = past ? outside + 14 : rim + 18;
  return (
    <svg
      className="nut-picture"
      viewBox={`${CENTRE - reach} ${CENTRE - reach} ${2 * reach} ${2 * reach}`}
      aria-hidden="true"
    >
      <path className="nut-body" d={`M${hexagon}Z`} />
      <path className="nut-mark" d={`M${text(at(0, 34))}L${text(at(0, 52))}`} />
      <path className="nut-arrow" d={spiral(0, end, INNER, rim)} />
      <path className="nut-arrow" d={head(end, rim, sign, 20)} />
      {past && (
        <>
          <path className="nut-back" d={spiral(end, comeBack, outside, outside)} />
          <path className="nut-back" d={head(comeBack, outside, sign === 1 ? -1 : 1, 14)} />
        </>
      )}
      <text x={CENTRE} y={CENTRE + 12} textAnchor="middle">
        {turns.turns === 0 ? past?.text : turns.text}
      </text>
    </svg>
  );
};
