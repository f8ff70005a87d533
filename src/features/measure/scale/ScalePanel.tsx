import { Link } from 'wouter';
import type { Uncertain } from '../../../domain/gauge';
import type { GridDoubt } from '../../../domain/gridDoubt';
import type { ScaleReference } from '../../../domain/measurement';
import type { PaperName } from '../../../domain/paper';
import type { ConfirmedScale, NamedReference } from '../../../domain/records';
import { statementsIn } from '../../../domain/referenceSentence';
import type { PrintScale } from '../../../domain/referenceSheet';
import { type ScaleDoubt, scalePlusMinus } from '../../../domain/scaleDoubt';
import { formatDecimals, formatUncertain } from '../../../domain/units';
import { lengthWords, stepWords } from '../../../ui/stepWords';
import { ScaleDoubts, UnitDoubt } from './Checks';
import { CoinQuestion } from './CoinQuestion';
import { FabricHeight } from './FabricHeight';
import { LengthQuestion } from './LengthQuestion';
import { MeasuredMat } from './MeasuredMat';
import { PaperQuestion } from './PaperQuestion';
import { RememberForm } from './RememberForm';
import { printWords, SheetQuestion } from './SheetQuestion';
import { askOf, kindNames } from './words';

interface Props {
  readonly references: readonly ScaleReference[];
  readonly current: { readonly reference: ScaleReference; readonly index: number } | null;
  readonly scale: ConfirmedScale | null;
  readonly remembered: readonly NamedReference[];
  /** What speaks against lengths by this reference: other references, a wide ±, an answer still open. */
  readonly doubts: readonly ScaleDoubt[];
  /** What another reference says the spacing is, while that is asked; null when none says it. */
  readonly seenStep: { readonly step: Uncertain; readonly by: string } | null;
  /** Why the unit of a grid cannot be right; null when nothing speaks against it. */
  readonly unitDoubt: GridDoubt | null;
  readonly thicknessMm: number | null;
  readonly layers: 1 | 2;
  readonly onChoose: (index: number) => void;
  /** The step of the reference is this long; null when nothing had to be asked. */
  readonly onConfirm: (stepMm: number | null, named: NamedReference | null) => void;
  readonly onReopen: () => void;
  /** Settles the doubt about a grid's unit. */
  readonly onPitch: (mm: number) => void;
  readonly onCoin: (diameterMm: number, thicknessMm: number | null) => void;
  readonly onPaper: (name: PaperName) => void;
  readonly onPrint: (print: PrintScale | null, named: NamedReference | null) => void;
  readonly onTwoPoints: () => void;
  readonly onCaliper: () => void;
  readonly onRemember: (name: string) => void;
  /** The lines of the mat in use really are so far apart, mm. */
  readonly onMeasured: (pitchMm: number) => void;
  readonly onFabric: (patch: { thicknessMm?: number | null; layers?: 1 | 2 }) => void;
  readonly onNext: () => void;
}

const degrees = (radians: number): string => `${Math.round((radians * 180) / Math.PI)}°`;

/** What of each kind of reference was fitted. */
const fittedParts: Readonly<Record<ScaleReference['kind'], string>> = {
  grid: 'The lines fit',
  ruler: 'The marks fit',
  card: 'The outline fits',
  paper: 'The outline fits',
  coin: 'The rim fits',
  sheet: 'The squares fit',
  caliper: 'The jaws fit',
  twoPoints: 'The points fit',
};
/** Finer than this is shown as this: nothing in a photo is known better. */
const leastShownPx = 0.1;

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
      Camera tilted by {reference.kind === 'coin' && 'about '}
      {degrees(plane.tiltRad)}, taken into account. {fittedParts[reference.kind]} to within{' '}
      {formatDecimals(Math.max(leastShownPx, plane.residualPx), 1)} px; lengths at the swatch are good to ±{' '}
      {formatDecimals(100 * (scalePlusMinus(reference) ?? 0), 2)} %.
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

/** What must be said before the reference gives millimetres. */
const Question = (props: Props & { readonly reference: ScaleReference }) => {
  const { reference, remembered, onConfirm } = props;
  if (reference.kind === 'sheet') return <SheetQuestion remembered={remembered} onPrint={props.onPrint} />;
  if (reference.question === 'coinDiameter') return <CoinQuestion onCoin={props.onCoin} />;
  if (reference.question === 'paperSize') return <PaperQuestion onPaper={props.onPaper} />;
  const ask = askOf(reference);
  return ask ? (
    <LengthQuestion ask={ask} reference={reference} remembered={remembered} onConfirm={onConfirm} />
  ) : (
    <button type="button" className="button button--primary" onClick={() => onConfirm(null, null)}>
      Yes, measure by this
    </button>
  );
};

/** What is worth a name: a thing of hers whose length had to be asked for. */
const remembers = ({ kind, pitchMm }: ScaleReference): boolean =>
  pitchMm !== null && (kind === 'grid' || kind === 'ruler');

const stepOf = (kind: ScaleReference['kind'], mm: number): string =>
  kind === 'grid' ? stepWords(mm) : lengthWords(mm);

/** What the buttons below a confirmed scale say: where something is open they name it. */
const wayOn = (doubts: readonly ScaleDoubt[], reference: ScaleReference): readonly [string, string] => {
  const kinds = doubts.map(({ kind }) => kind);
  const share = formatDecimals(100 * (scalePlusMinus(reference) ?? 0), 1);
  const onward = kinds.includes('wide') ? `Use it all the same, ± ${share} %` : 'Go to the stitches';
  return [onward, kinds.includes('checkRulers') ? 'Say what they measure' : 'Change the scale'];
};

const Confirmed = (props: Props & { readonly scale: ConfirmedScale }) => {
  const { reference, namedReferenceId } = props.scale;
  const [onward, change] = wayOn(props.doubts, reference);
  const named = props.remembered.find(({ id }) => id === namedReferenceId);
  return (
    <div className="stack">
      <p className="note note--sure">
        <strong>
          {kindNames[reference.kind]}
          {named && ` “${named.name}”`}
          {reference.pitchMm !== null && `: ${stepOf(reference.kind, reference.pitchMm)}`}
          {reference.printScale && `: ${printWords(reference.printScale)}`}
        </strong>
        <span>{askOf(reference)?.confirmed ?? 'The photo is measured by this.'}</span>
      </p>
      <ScaleDoubts doubts={props.doubts} />
      {props.unitDoubt && (
        <UnitDoubt doubt={props.unitDoubt} pitchMm={reference.pitchMm ?? 0} onPitch={props.onPitch} />
      )}
      {!named && remembers(reference) && (
        <RememberForm what={kindNames[reference.kind].toLowerCase()} onRemember={props.onRemember} />
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={props.onNext}>
          {onward}
        </button>
        <button type="button" className="button" onClick={props.onReopen}>
          {change}
        </button>
      </div>
      {reference.kind === 'grid' && reference.pitchMm !== null && (
        <MeasuredMat pitchMm={reference.pitchMm} onMeasured={props.onMeasured} />
      )}
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
          <ScaleDoubts doubts={props.doubts.filter(({ kind, asks }) => asks && kind !== 'checkRulers')} />
          {props.seenStep && (
            <p className="note">
              By {props.seenStep.by} it would be{' '}
              {formatUncertain(props.seenStep.step.value, props.seenStep.step.plusMinus95)} mm.
            </p>
          )}
          <Question
            key={`${current.index}-${current.reference.kind}`}
            {...props}
            reference={current.reference}
          />
          {current.reference.handles.length > 0 && (
            <p className="small soft">
              Not quite on it? Drag the round handles on the photo; a glass shows the place enlarged.
            </p>
          )}
        </>
      )}
      {!scale && !current && (
        <p>
          Nothing of known length was found in this photo. Mark two points whose distance you know, or the
          jaws of a caliper that lies in it.
        </p>
      )}
      {(scale?.reference ?? current?.reference) && (
        <Quality reference={scale?.reference ?? (current?.reference as ScaleReference)} />
      )}
      {!scale && (
        <div className="row">
          <button
            type="button"
            className={`button${current ? '' : ' button--primary'}`}
            onClick={props.onTwoPoints}
          >
            Use two points of known distance
          </button>
          <button type="button" className="button" onClick={props.onCaliper}>
            Use an opened caliper
          </button>
        </div>
      )}
      {!scale && !current && (
        <p className="small soft">
          Next time lay the swatch on a <Link href="/sheet">printed reference sheet</Link>: it is found by
          itself and asks one thing, once.
        </p>
      )}
      <FabricHeight thicknessMm={props.thicknessMm} layers={props.layers} onFabric={props.onFabric} />
    </div>
  );
};
