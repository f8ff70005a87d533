import type { ScaleReference } from '../../../domain/measurement';
import type { ConfirmedScale, NamedReference } from '../../../domain/records';
import { formatDecimals, formatLength } from '../../../domain/units';
import { LengthForm } from '../../../ui/fields/LengthForm';
import { FabricHeight } from './FabricHeight';
import { RememberForm } from './RememberForm';
import { askOf, kindNames, statementsIn } from './words';

interface Props {
  readonly references: readonly ScaleReference[];
  readonly current: { readonly reference: ScaleReference; readonly index: number } | null;
  readonly scale: ConfirmedScale | null;
  readonly remembered: readonly NamedReference[];
  readonly thicknessMm: number | null;
  readonly layers: 1 | 2;
  readonly onChoose: (index: number) => void;
  /** The step of the reference is this long; null when nothing had to be asked. */
  readonly onConfirm: (stepMm: number | null, named: NamedReference | null) => void;
  readonly onReopen: () => void;
  readonly onTwoPoints: () => void;
  readonly onRemember: (name: string) => void;
  readonly onFabric: (patch: { thicknessMm?: number | null; layers?: 1 | 2 }) => void;
  readonly onNext: () => void;
}

const degrees = (radians: number): string => `${Math.round((radians * 180) / Math.PI)}°`;

/** How well the reference fits and how the camera was held, in words. */
const Quality = ({ reference }: { readonly reference: ScaleReference }) => {
  const plane = reference.plane ?? reference.unitPlane;
  if (!plane) return null;
  return plane.tiltRad === null ? (
    <p className="note note--warn">
      One length says nothing about how the camera was tilted. Photograph from straight above; the ± is wider
      for it.
    </p>
  ) : (
    <p className="small soft">
      Camera tilted by {degrees(plane.tiltRad)}, taken into account. The lines fit to within{' '}
      {formatDecimals(plane.residualPx, 1)} px.
    </p>
  );
};

/** The name of a candidate, numbered where several are of one kind. */
const nameAmong = (references: readonly ScaleReference[], index: number): string => {
  const kind = references[index]?.kind ?? 'grid';
  const alike = references.filter((other) => other.kind === kind).length;
  const place = references.slice(0, index + 1).filter((other) => other.kind === kind).length;
  return alike > 1 ? `${kindNames[kind]} ${place}` : kindNames[kind];
};

const Candidates = ({ references, current, onChoose }: Pick<Props, 'references' | 'current' | 'onChoose'>) =>
  references.length < 2 ? null : (
    <fieldset className="stack-tight">
      <legend className="label">Measure by</legend>
      <div className="row">
        {references.map((_, index) => (
          <button
            // Two candidates of a kind differ only by their place in the list.
            // biome-ignore lint/suspicious/noArrayIndexKey: the list is ranked once and only ever replaced entry by entry
            key={index}
            type="button"
            className="button"
            aria-pressed={current?.index === index}
            onClick={() => onChoose(index)}
          >
            {nameAmong(references, index)}
          </button>
        ))}
      </div>
    </fieldset>
  );

const Question = ({
  reference,
  remembered,
  onConfirm,
}: Pick<Props, 'remembered' | 'onConfirm'> & { readonly reference: ScaleReference }) => {
  const ask = askOf(reference);
  if (!ask) {
    return (
      <button type="button" className="button button--primary" onClick={() => onConfirm(null, null)}>
        Yes, measure by this
      </button>
    );
  }
  const mine = remembered
    .filter((named) => named.kind === reference.kind && named.pitchMm !== null)
    .sort((a, b) => b.lastUsedAt.localeCompare(a.lastUsedAt));
  return (
    <fieldset className="stack question">
      <legend>{ask.question}</legend>
      {mine.map((named) => (
        <button
          key={named.id}
          type="button"
          className="button button--primary"
          onClick={() => onConfirm(named.pitchMm, named)}
        >
          It is {named.name}: {lengthWords(named.pitchMm ?? 0)}
        </button>
      ))}
      {ask.choices.length > 0 && (
        <div className="row question-choices">
          {ask.choices.map(({ label, mm }) => (
            <button
              key={label}
              type="button"
              className={`button${mine.length === 0 ? ' button--primary' : ''}`}
              onClick={() => onConfirm(mm, null)}
            >
              {label}
            </button>
          ))}
        </div>
      )}
      <LengthForm
        label={ask.choices.length > 0 ? 'Another length' : 'Length'}
        example={ask.example}
        action="Use this"
        onLength={(mm) => onConfirm(mm, null)}
      />
    </fieldset>
  );
};

/** A step as people say it: "1 inch", "1 cm", otherwise millimetres. */
export const lengthWords = (mm: number): string => {
  if (Math.abs(mm - 25.4) < 1e-6) return '1 inch';
  return Math.abs(mm - 10) < 1e-6 ? '1 cm' : formatLength(mm, 'mm');
};

const Confirmed = (props: Props & { readonly scale: ConfirmedScale }) => {
  const { reference, namedReferenceId } = props.scale;
  const named = props.remembered.find(({ id }) => id === namedReferenceId);
  return (
    <div className="stack">
      <p className="note note--sure">
        <strong>
          {kindNames[reference.kind]}
          {named && ` “${named.name}”`}
          {reference.pitchMm !== null && `: ${lengthWords(reference.pitchMm)}`}
        </strong>
        <span>{askOf(reference)?.confirmed ?? 'The photo is measured by this.'}</span>
      </p>
      {!named && reference.pitchMm !== null && reference.kind !== 'twoPoints' && (
        <RememberForm what={kindNames[reference.kind].toLowerCase()} onRemember={props.onRemember} />
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={props.onNext}>
          Go to the stitches
        </button>
        <button type="button" className="button" onClick={props.onReopen}>
          Change the scale
        </button>
      </div>
    </div>
  );
};

/** The first step: which thing in the photo has a known length, and how long it is. */
export const ScalePanel = (props: Props) => {
  const { current, scale } = props;
  return (
    <div className="stack">
      {scale && <Confirmed {...props} scale={scale} />}
      {!scale && current && (
        <>
          <p>{statementsIn(current.reference.sentence)}</p>
          <Candidates {...props} />
          <Question
            key={`${current.index}-${current.reference.kind}`}
            reference={current.reference}
            remembered={props.remembered}
            onConfirm={props.onConfirm}
          />
          {current.reference.handles.length > 0 && (
            <p className="small soft">
              Not quite on it? Drag the round handles on the photo; a glass shows the place enlarged.
            </p>
          )}
        </>
      )}
      {!scale && !current && (
        <p>Nothing of known length was found in this photo. Mark two points whose distance you know.</p>
      )}
      {(scale?.reference ?? current?.reference) && (
        <Quality reference={scale?.reference ?? (current?.reference as ScaleReference)} />
      )}
      {!scale && (
        <button
          type="button"
          className={`button${current ? '' : ' button--primary'}`}
          onClick={props.onTwoPoints}
        >
          Use two points of known distance
        </button>
      )}
      <FabricHeight thicknessMm={props.thicknessMm} layers={props.layers} onFabric={props.onFabric} />
    </div>
  );
};
