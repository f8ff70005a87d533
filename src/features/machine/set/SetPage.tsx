import { useState } from 'react';
import { Link } from 'wouter';
import type { CamLog } from '../../../domain/machineRecords';
import type { Id } from '../../../domain/records';
import { formatLength } from '../../../domain/units';
import { fitsOf } from '../../../store/machineKnowledge';
import { usualLandmark } from '../../../store/machineLandmark';
import type { CamTarget } from '../../../store/machineTarget';
import { GaugeWish } from '../gauge/GaugeWish';
import { SelectionFields } from '../gauge/SelectionFields';
import { selectionOf, useSelection } from '../gauge/selection';
import { NeedsLandmark } from '../NeedsLandmark';
import { machinePath, type OpenMachine } from '../openMachine';
import { dayWords } from '../words';
import { ReadingTarget } from './ReadingTarget';
import { SwatchTarget } from './SwatchTarget';
import { useJourney } from './useJourney';

type Kind = 'swatch' | 'gauge' | 'reading';
const kinds: readonly (readonly [Kind, string])[] = [
  ['swatch', 'A swatch'],
  ['gauge', 'A gauge'],
  ['reading', 'A reading'],
];

const GaugeTarget = ({
  open,
  onTarget,
}: {
  readonly open: OpenMachine;
  readonly onTarget: (target: CamTarget) => void;
}) => {
  const { chosen, change } = useSelection();
  const selection = selectionOf(open, chosen);
  if (!selection) {
    return (
      <p className="note">
        This needs a yarn and a cylinder: name the yarn in the notebook, and the cylinder in the profile.
      </p>
    );
  }
  const selected = open.knowledge.select(selection);
  return (
    <div className="stack">
      <SelectionFields open={open} selection={selection} onChange={change} />
      {selected.kind === 'ready' && (
        <>
          {selected.remarks.map((remark) => (
            <p key={remark} className="note small">
              {remark}
            </p>
          ))}
          <GaugeWish
            key={selection.yarnId}
            open={open}
            selection={selection}
            selected={selected}
            fits={fitsOf(selected)}
            onTarget={onTarget}
          />
        </>
      )}
    </div>
  );
};

const standing = (log: CamLog): string => {
  const last = log.steps.at(-1);
  if (!last) return 'not begun';
  const reading = formatLength(last.presentMm, last.reading.unit);
  return log.finishedAt === null ? `last at ${reading}` : `reached at ${reading}`;
};

const Journeys = ({ open }: { readonly open: OpenMachine }) => {
  const logs = [...open.camLogs].reverse();
  const known = (id: Id): boolean => open.landmarks.some((landmark) => landmark.id === id);
  const shown = logs.filter(({ landmarkId }) => known(landmarkId)).slice(0, 30);
  if (shown.length === 0) return null;
  return (
    <>
      <h2>Settings so far</h2>
      <ul className="machine-lines" aria-label="Settings so far">
        {shown.map((log) => (
          <li key={log.id}>
            <Link href={machinePath(open.machine.id, `set/${log.id}`)}>
              <strong>{log.goal}</strong>
              <span className="small soft">
                {formatLength(log.targetMm, open.knowledge.unit)} · {standing(log)} ·{' '}
                {dayWords(log.startedAt)}
              </span>
            </Link>
          </li>
        ))}
      </ul>
    </>
  );
};

/** Where the cam should go: back to a swatch, to a gauge, or to a reading. */
export const SetPage = ({ open }: { readonly open: OpenMachine }) => {
  const { begin, problem } = useJourney(open);
  const [kind, setKind] = useState<Kind>(open.swatches.length > 0 ? 'swatch' : 'reading');
  const newest = open.camLogs.at(-1);
  const unfinished = newest && newest.finishedAt === null && newest.steps.length > 0 ? newest : null;
  if (!usualLandmark(open)) {
    return <NeedsLandmark machineId={open.machine.id} why="so that the cam’s height has a number" />;
  }
  return (
    <section className="stack" aria-label="Set the cam">
      {unfinished && (
        <p className="row">
          <Link href={machinePath(open.machine.id, `set/${unfinished.id}`)} className="button">
            Carry on: {unfinished.goal}
          </Link>
        </p>
      )}
      <fieldset className="field">
        <legend className="label">What do you want back?</legend>
        <div className="choices">
          {kinds.map(([one, name]) => (
            <button key={one} type="button" aria-pressed={one === kind} onClick={() => setKind(one)}>
              {name}
            </button>
          ))}
        </div>
      </fieldset>
      {kind === 'swatch' && <SwatchTarget open={open} onTarget={begin} />}
      {kind === 'gauge' && <GaugeTarget open={open} onTarget={begin} />}
      {kind === 'reading' && <ReadingTarget open={open} onTarget={begin} />}
      {problem && (
        <p className="note note--problem" role="alert">
          {problem}
        </p>
      )}
      <Journeys open={open} />
    </section>
  );
};
