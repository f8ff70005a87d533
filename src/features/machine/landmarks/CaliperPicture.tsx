import { type ReactNode, useId } from 'react';
import type { Jaw } from '../../../domain/records';
import { jawNames } from '../../../ui/fields/jaws';

/*
 * Our own drawing of a part with a step and a slot, and of the caliper's three ways of touching it. Fields of 150 × 120; the
 * part is hatched, the caliper plain, and what is measured carries an arrow at each end.
 */

const Span = ({
  from,
  to,
}: {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}) => <path className="drawn-span" d={`M${from.join(' ')}L${to.join(' ')}`} />;

/** Jaws closed around a block from outside. */
const outside = (
  <>
    <path className="drawn-part" d="M52 66h46v44H52z" />
    <path className="drawn-tool" d="M16 14h118v13H108v62l-10 4V27H52v66l-10-4V27H16z" />
    <path className="drawn-line" d="M118 14v13M126 14v8M110 14v8" />
    <Span from={[54, 50]} to={[96, 50]} />
  </>
);

/** Jaws opened within a slot; their tips point outwards. */
const inside = (
  <>
    <path className="drawn-part" d="M14 70h32v28h58V70h32v42H14z" />
    <path className="drawn-tool" d="M16 14h118v13H90l14 6v58l-12-8V27H58v56l-12 8V33l14-6H16z" />
    <path className="drawn-line" d="M118 14v13M126 14v8M110 14v8" />
    <Span from={[48, 94]} to={[102, 94]} />
  </>
);

/** The beam stands on the rim, the rod reaches down to the floor. */
const depth = (
  <>
    <path className="drawn-part" d="M14 58h44v40h34V58h44v54H14z" />
    <path className="drawn-tool" d="M36 48V8h78v40l22 0v10H14V48z" />
    <path className="drawn-tool" d="M66 58h7v40h-7z" />
    <path className="drawn-line" d="M100 14v28M108 20h-8M108 28h-8M108 36h-8" />
    <Span from={[82, 59]} to={[82, 97]} />
  </>
);

const drawings: Readonly<Record<Jaw, { readonly drawing: ReactNode; readonly words: string }>> = {
  outside: {
    drawing: outside,
    words: 'Outside jaws close around two surfaces that face away from each other.',
  },
  inside: { drawing: inside, words: 'Inside jaws open between two surfaces that face each other.' },
  depth: { drawing: depth, words: 'The beam’s end stands on one surface, the rod just touches a lower one.' },
};

/** One kind of caliper measurement, drawn. */
export const JawDrawing = ({ jaw }: { readonly jaw: Jaw }) => {
  const id = useId();
  return (
    <svg className="jaw-drawing" viewBox="0 0 150 120" role="img" aria-label={drawings[jaw].words}>
      <defs>
        <pattern
          id={`${id}h`}
          width="6"
          height="6"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <path className="drawn-hatch" d="M0 0v6" />
        </pattern>
        <marker
          id={`${id}a`}
          viewBox="0 0 8 8"
          refX="8"
          refY="4"
          markerWidth="7"
          markerHeight="7"
          orient="auto-start-reverse"
        >
          <path className="drawn-tip" d="M0 0l8 4-8 4z" />
        </marker>
      </defs>
      <g style={{ ['--hatch' as string]: `url(#${id}h)`, ['--tip' as string]: `url(#${id}a)` }}>
        {drawings[jaw].drawing}
      </g>
    </svg>
  );
};

/** The three kinds of caliper measurement in general, side by side. */
export const CaliperPicture = () => (
  <ul className="jaw-drawings">
    {(['outside', 'inside', 'depth'] as const).map((jaw) => (
      <li key={jaw}>
        <JawDrawing jaw={jaw} />
        <strong>{jawNames[jaw]}</strong>
        <span className="small soft">{drawings[jaw].words}</span>
      </li>
    ))}
  </ul>
);
