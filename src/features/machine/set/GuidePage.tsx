import { useEffect, useRef, useState } from 'react';
import { Link } from 'wouter';
import type { CamLog, LandmarkRecord } from '../../../domain/machineRecords';
import type { Id } from '../../../domain/records';
import type { NutDirection } from '../../../domain/turns';
import { formatLength } from '../../../domain/units';
import { newId, now } from '../../../storage/ids';
import { camStepOf, guideFrom, lastMoveAfter } from '../../../store/machineGuide';
import { Choices } from '../../../ui/fields/Choices';
import { ReadingPart } from '../../../ui/fields/ReadingPart';
import { LandmarkPhoto } from '../../../ui/photoIn/LandmarkPhoto';
import { sentenceOf } from '../../../ui/sentenceOf';
import { useReading } from '../landmarks/useReading';
import { machinePath, type OpenMachine } from '../openMachine';
import { lastMoves } from '../turns/StartForm';
import { landmarkWords, toleranceWords } from '../words';
import { Advice } from './Advice';
import { GrowthQuestion } from './GrowthQuestion';
import { StepList } from './StepList';

interface JourneyProps {
  readonly open: OpenMachine;
  readonly log: CamLog;
  readonly landmark: LandmarkRecord;
}

/** The present reading, before or after turning. */
const PresentReading = ({
  open,
  log,
  landmark,
  lastMove,
}: JourneyProps & {
  /** Undefined before the first step: it is asked for. */ readonly lastMove?: NutDirection | null;
}) => {
  const { storage, knowledge } = open;
  const isFirst = lastMove === undefined;
  const reading = useReading(log.steps.at(-1)?.reading.unit ?? knowledge.unit);
  const [said, setSaid] = useState<NutDirection | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const take = async (): Promise<void> => {
    const settled = reading.settle(landmark.id);
    if (!settled) {
      setProblem('Type what the caliper shows now.');
      return;
    }
    const before = isFirst ? said : lastMove;
    const step = guideFrom(open, knowledge, log, settled, before);
    if (!step) return;
    const at = now();
    try {
      await storage.saveCamLog({
        ...log,
        steps: [...log.steps, camStepOf(log, step, settled, before, { id: newId(), at })],
        finishedAt: step.guidance.insideTolerance ? at : null,
      });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div className="machine-card stack">
      <h3>{isFirst ? 'Where does the cam stand now?' : 'Turned? Measure again'}</h3>
      {isFirst && (
        <Choices
          label="The nut was last turned"
          options={lastMoves}
          chosen={said}
          onChoose={setSaid}
          hint="It tells whether play has still to be taken up."
        />
      )}
      <ReadingPart
        {...reading.part}
        onChange={(repeats, inUnit) => {
          setProblem(null);
          reading.part.onChange(repeats, inUnit);
        }}
        jaw={landmark.jaw}
        known={knowledge.repeatability(landmark.id)}
        label={isFirst ? 'The caliper shows' : 'The caliper shows now'}
      />
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <div className="row">
        <button type="button" className="button button--primary" onClick={() => void take()}>
          {isFirst ? 'Show the way' : 'Where am I now?'}
        </button>
      </div>
    </div>
  );
};

const Journey = ({ open, log, landmark }: JourneyProps) => {
  const { storage, machine, knowledge, shop } = open;
  const [problem, setProblem] = useState<string | null>(null);
  const last = log.steps.at(-1);
  const unit = last?.reading.unit ?? knowledge.unit;
  const step = last && guideFrom(open, knowledge, log, last.reading, last.lastMove);
  // After a reading the advice has changed, perhaps off the screen: it takes the focus and so comes into view.
  const advice = useRef<HTMLDivElement>(null);
  const seen = useRef(log.steps.length);
  useEffect(() => {
    if (seen.current === log.steps.length) return;
    seen.current = log.steps.length;
    advice.current?.focus();
  }, [log.steps.length]);
  const takeBack = async (): Promise<void> => {
    try {
      await storage.saveCamLog({ ...log, steps: log.steps.slice(0, -1), finishedAt: null });
      shop.offerUndo({ sentence: 'The last reading is taken back.', undo: () => storage.saveCamLog(log) });
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div className="machine-columns">
      <div className="stack">
        {step && <Advice ref={advice} step={step} unit={unit} />}
        {step?.guidance.insideTolerance && (
          <div className="row">
            <Link href="/measure" className="button button--primary">
              Measure the new swatch
            </Link>
            <Link href={machinePath(machine.id, 'set')} className="button">
              Another setting
            </Link>
          </div>
        )}
        {!step && <PresentReading open={open} log={log} landmark={landmark} />}
      </div>
      <div className="stack">
        {step && !step.guidance.insideTolerance && (
          <PresentReading
            key={log.steps.length}
            open={open}
            log={log}
            landmark={landmark}
            lastMove={lastMoveAfter(step.guidance, last?.lastMove ?? null)}
          />
        )}
        {log.steps.length > 0 && (
          <>
            <StepList steps={log.steps} />
            <div className="row">
              <button type="button" className="button button--quiet" onClick={() => void takeBack()}>
                Take back the last reading
              </button>
            </div>
          </>
        )}
        {problem && (
          <p className="problem" role="alert">
            {problem}
          </p>
        )}
        <LandmarkPhoto storage={storage} landmark={landmark} />
      </div>
    </div>
  );
};

/** The way from where the cam stands to where it should: read, turn, read again, until it is near enough. */
export const GuidePage = ({ open, logId }: { readonly open: OpenMachine; readonly logId: Id }) => {
  const { machine, knowledge } = open;
  const log = open.camLogs.find(({ id }) => id === logId);
  const landmark = open.landmarks.find(({ id }) => id === log?.landmarkId);
  if (!log || !landmark) {
    return (
      <p className="machine-empty">
        {log ? 'The landmark of this setting is deleted.' : 'There is no such setting.'}{' '}
        <Link href={machinePath(machine.id, 'set')}>Choose a setting</Link>
      </p>
    );
  }
  const unit = log.steps.at(-1)?.reading.unit ?? knowledge.unit;
  return (
    <section className="stack" aria-label="The way to the setting">
      <div className="target-line">
        <p className="setting-figure" data-testid="target">
          {formatLength(log.targetMm, unit)}
        </p>
        <p>
          <strong>{log.goal}</strong>
          <span className="small">within {toleranceWords(log.toleranceMm, unit)} is near enough</span>
          <span className="small soft">
            measured at {landmarkWords(landmark)}
            {landmark.mark && `, to ${landmark.mark}`}
          </span>
        </p>
      </div>
      {knowledge.growth(landmark.id) === null ? (
        <GrowthQuestion storage={open.storage} landmark={landmark} />
      ) : (
        <Journey open={open} log={log} landmark={landmark} />
      )}
    </section>
  );
};
