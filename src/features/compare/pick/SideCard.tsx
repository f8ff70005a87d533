import { useEffect, useState } from 'react';
import { Link } from 'wouter';
import { useStore } from 'zustand';
import type { NamedReference } from '../../../domain/records';
import { withStep } from '../../../domain/referenceStep';
import { MM_PER_INCH } from '../../../domain/units';
import { currentReference, type Working } from '../../../store/measureSessionState';
import type { Session } from '../../../store/measureSessionTypes';
import { LengthForm } from '../../../ui/fields/LengthForm';
import { gridQuestions, stepWords } from '../../../ui/stepWords';
import type { ReadSide } from '../useComparison';
import { subtitleOf, titleOf } from '../words';

interface Props {
  readonly entry: ReadSide;
  readonly remembered: readonly NamedReference[];
  readonly onRemove: () => void;
}

const PATIENCE_MS = 300;

const Progress = ({ working }: { readonly working: Working }) => {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, []);
  if (!late) return null;
  return (
    <div className="stack-small" role="status">
      <p>{working.sentence}</p>
      <progress max={1} value={working.share} aria-label="How far it is" />
      <button type="button" className="button" onClick={working.cancel}>
        Cancel
      </button>
    </div>
  );
};

/** The one question that most photos leave open; whatever else is open belongs on the measuring screen. */
const ScaleQuestion = ({
  session,
  remembered,
}: {
  readonly session: Session;
  readonly remembered: readonly NamedReference[];
}) => {
  const swatch = useStore(session.store, (state) => state.swatch);
  const current = swatch && currentReference(swatch);
  if (!swatch?.measurement || swatch.scale) return null;
  const reference = current?.reference;
  const elsewhere = (
    <Link href={`/measure/${swatch.id}`} className="button">
      Say the scale on the measuring screen
    </Link>
  );
  if (!reference) {
    return (
      <div className="stack-small">
        <p>Nothing of known length was found in this photo.</p>
        {elsewhere}
      </div>
    );
  }
  // Which lines are meant can only be seen where they are drawn.
  const isClear = reference.gridLines !== 'unclear';
  if (reference.question === 'gridPitch' && reference.unitPlane && isClear) {
    const answer = (mm: number, named: NamedReference | null): void =>
      session.confirmScale(withStep(reference, mm), named ? 'remembered' : 'user', named);
    const mine = remembered
      .filter((named) => named.kind === 'grid' && named.pitchMm !== null)
      .sort((a, b) => b.lastUsedAt.localeCompare(a.lastUsedAt));
    const usual = `button${mine.length === 0 ? ' button--primary' : ''}`;
    return (
      <fieldset className="stack-small">
        <legend>{gridQuestions[reference.gridLines ?? 'heavy']}</legend>
        <div className="row">
          {mine.map((named) => (
            <button
              key={named.id}
              type="button"
              className="button button--primary"
              onClick={() => answer(named.pitchMm ?? MM_PER_INCH, named)}
            >
              It is {named.name}: {stepWords(named.pitchMm ?? MM_PER_INCH)}
            </button>
          ))}
          <button type="button" className={usual} onClick={() => answer(MM_PER_INCH, null)}>
            1 inch
          </button>
          <button type="button" className={usual} onClick={() => answer(10, null)}>
            1 cm
          </button>
        </div>
        <LengthForm
          label="Another length"
          example="1/2 in or 5 cm"
          action="Use this"
          onLength={(mm) => answer(mm, null)}
        />
      </fieldset>
    );
  }
  if (reference.question === null && reference.plane) {
    return (
      <div className="stack-small">
        <p>{reference.sentence}</p>
        <div className="row">
          <button
            type="button"
            className="button button--primary"
            onClick={() => session.confirmScale(reference, 'user', null)}
          >
            Yes, measure by this
          </button>
          {elsewhere}
        </div>
      </div>
    );
  }
  return elsewhere;
};

/** One picked swatch: what it is, what it still lacks, and the way to take it away. */
export const SideCard = ({ entry, remembered, onRemove }: Props) => {
  const { side, name, reading } = entry;
  const working = useStore(side.session.store, (state) => state.working);
  const photo = useStore(side.session.store, (state) => state.photo);
  const problem = useStore(side.session.store, (state) => state.problem);
  const title = titleOf(reading, photo?.fileName);
  const needsLook =
    reading !== null && working === null && reading.lacks !== null && reading.swatch.scale !== null;
  return (
    <li className="side-card">
      <div className="side-head">
        <span className="letter">{name}</span>
        {photo && <img src={photo.url} alt="" className="side-picture" />}
        <p className="side-title">
          <strong>{title}</strong>
          {reading && <span className="small soft">{subtitleOf(reading)}</span>}
        </p>
        <button
          type="button"
          className="button button--quiet"
          aria-label={`Take ${name} away`}
          onClick={onRemove}
        >
          Take away
        </button>
      </div>
      {working && <Progress working={working} />}
      {problem && <p className="problem">{problem}</p>}
      {!working && reading && !reading.swatch.measurement && (
        <button type="button" className="button" onClick={() => void side.session.measureAgain()}>
          Measure this photo
        </button>
      )}
      {!working && <ScaleQuestion session={side.session} remembered={remembered} />}
      {needsLook && (
        <div className="stack-small">
          <p>{reading.lacks}</p>
          <Link href={`/measure/${reading.swatch.id}`} className="button">
            Look at it on the measuring screen
          </Link>
        </div>
      )}
    </li>
  );
};
