import { type KeyboardEvent, lazy, Suspense, useEffect, useMemo, useRef, useState } from 'react';
import { photoPoint } from '../../domain/coordinates';
import { evennessOf } from '../../domain/evenness';
import type { Uncertain } from '../../domain/gauge';
import type { Swatch } from '../../domain/records';
import { spiralityOf } from '../../domain/spirality';
import { formatUncertain, uncertainPerInch } from '../../domain/units';
import { appStorage } from '../../storage/repository';
import { scaleDoubtsOf } from '../../store/measureSessionScale';
import type { SessionPhoto } from '../../store/measureSessionState';
import type { Session } from '../../store/measureSessionTypes';
import { GaugePanel } from './gauge/GaugePanel';
import { gaugeTag } from './gauge/tag';
import { Kept } from './Kept';
import type { EvennessMap } from './overlay/paintEvenness';
import { Stage } from './Stage';
import { StepStrip } from './StepStrip';
import { ScalePanel } from './scale/ScalePanel';
import { useScaleStep } from './scale/useScaleStep';
import type { Step } from './steps';
import { NoStitchesPanel } from './stitches/NoStitchesPanel';
import { StitchPanel } from './stitches/StitchPanel';
import { useScreenTools } from './useScreenTools';
import { useSessionState } from './useSession';
import { Waiting } from './Waiting';

/** The record's forms are needed last, so they are loaded last. */
const RecordPanel = lazy(async () => ({ default: (await import('./record/RecordPanel')).RecordPanel }));

interface Props {
  readonly session: Session;
  readonly swatch: Swatch;
  readonly photo: SessionPhoto;
  /** Puts this swatch aside for another photo. */
  readonly onLeave: () => void;
}

const perInch = (density: Uncertain): string => {
  const { value, plusMinus95 } = uncertainPerInch(density);
  return formatUncertain(value, plusMinus95);
};

const isField = (target: EventTarget): boolean =>
  target instanceof HTMLElement && target.matches('input, textarea, select');

const firstStep = (swatch: Swatch): Step => {
  if (swatch.state === 'saved') return 'gauge';
  return swatch.scale ? 'stitches' : 'scale';
};

/** The photo on one side, the step in hand on the other. */
export const Workbench = ({ session, swatch, photo, onLeave }: Props) => {
  const [step, setStep] = useState<Step>(() => firstStep(swatch));
  const [open, setOpen] = useState(true);
  const working = useSessionState(session, (state) => state.working);
  const remembered = useSessionState(session, (state) => state.remembered);
  const earlier = useSessionState(session, (state) => state.earlierFinding);
  const tools = useScreenTools(session, swatch, step);
  const { stitch, collect, shown } = tools;
  const { measurement, gauge } = swatch;
  const [map, setMap] = useState<EvennessMap | null>(null);
  const plane = swatch.scale?.reference.plane ?? null;
  const evenness = useMemo(
    () => (step === 'gauge' && plane && shown?.window ? evennessOf(shown.grid, shown.window, plane) : null),
    [step, plane, shown],
  );
  const coloured = useMemo(() => (evenness && map ? { evenness, map } : null), [evenness, map]);

  const result = step === 'gauge' ? session.gauge() : null;
  const scaleDoubts = useMemo(() => scaleDoubtsOf(swatch), [swatch]);
  const tag = gauge && gaugeTag(gauge.status, measurement?.stitches ?? null, scaleDoubts);

  const body = useRef<HTMLDivElement>(null);
  // A button that goes away with its step takes the keyboard's place with it: carry on in the new step.
  // biome-ignore lint/correctness/useExhaustiveDependencies: wanted exactly when the step changes
  useEffect(() => {
    if (document.activeElement === document.body) body.current?.focus({ preventScroll: true });
    body.current?.scrollTo?.({ top: 0 });
  }, [step]);

  const choose = (next: Step): void => {
    collect.cancel();
    stitch.unmark();
    setStep(next);
    setOpen(true);
  };

  const scaleStep = useScaleStep(session, swatch, tools, () => choose('stitches'));

  const collectSeeds = (): void =>
    collect.begin(
      {
        prompts: [
          'Tap one column of stitches.',
          'Tap the column next to it.',
          'Tap one row of stitches.',
          'Tap the row next to it.',
        ],
        done: ([a, b, c, d]) => {
          if (a && b && c && d) void session.grow([a, b], [c, d]);
        },
      },
      tools.middle,
    );

  const collectLine = (): void => {
    const noun = stitch.family === 'wale' ? 'column' : 'row';
    collect.begin(
      {
        prompts: [`Tap one end of the ${noun}.`, `Tap the other end of the same ${noun}.`],
        done: (points) => session.edit({ kind: 'placeLine', family: stitch.family, points }),
      },
      tools.middle,
    );
  };

  const collectRegion = (): void =>
    collect.begin(
      {
        prompts: ['Tap one corner of the place where to look.', 'Tap the opposite corner.'],
        done: ([a, b]) => {
          if (a && b) void session.lookAgain([a, photoPoint(b.x, a.y), b, photoPoint(a.x, b.y)]);
        },
      },
      tools.middle,
    );

  // Undo and the list of keys work wherever the keyboard is, unless it is in a field, which has an undo of its own.
  const onPanelKey = (event: KeyboardEvent<HTMLElement>): void => {
    const isEverywhere = event.key === '?' || event.ctrlKey || event.metaKey;
    if (step !== 'stitches' || !isEverywhere || collect.active || isField(event.target)) return;
    if (stitch.onKey(event)) event.preventDefault();
  };

  const approve = (): void => {
    if (gauge?.status === 'proposal') session.approveLines();
    choose('gauge');
  };

  return (
    <div className={`bench${open ? '' : ' bench--folded'}`}>
      <h1 className="visually-hidden">Measure {photo.fileName}</h1>
      <Stage photo={photo} swatch={swatch} step={step} tools={tools} coloured={coloured} />
      <section className="panel" aria-label="What to do" onKeyDown={onPanelKey}>
        <header className="panel-head">
          <StepStrip
            current={step}
            done={{
              scale: swatch.scale !== null,
              stitches: gauge !== null && gauge.status !== 'proposal',
              gauge: gauge !== null && gauge.status !== 'proposal',
              record: swatch.state === 'saved',
            }}
            onChoose={choose}
          />
          <button
            type="button"
            className="panel-fold"
            aria-expanded={open}
            aria-label={open ? 'Fold the panel away' : 'Unfold the panel'}
            onClick={() => setOpen(!open)}
          />
          {gauge && step !== 'gauge' && (
            <p className="gauge-line" data-testid="gauge-line">
              <span>
                <strong>{perInch(gauge.walesPerMm)}</strong> stitches
              </span>
              <span>
                <strong>{perInch(gauge.coursesPerMm)}</strong> rows <span className="soft">per inch</span>
              </span>
              {tag && <span className="tag">{tag}</span>}
            </p>
          )}
        </header>
        <div ref={body} className="panel-body" tabIndex={-1}>
          <Waiting working={working} />
          {!measurement && !working && (
            <div className="stack">
              <p>This photo has not been measured yet.</p>
              <button
                type="button"
                className="button button--primary"
                onClick={() => void session.measureAgain()}
              >
                Measure it
              </button>
            </div>
          )}
          {measurement && step === 'scale' && measurement.photo.remarks.length > 0 && (
            <ul className="note note--warn remarks">
              {measurement.photo.remarks.map((remark) => (
                <li key={remark}>{remark}</li>
              ))}
            </ul>
          )}
          {measurement && step === 'scale' && <ScalePanel remembered={remembered} {...scaleStep} />}
          {measurement && step === 'stitches' && tools.hasLines && shown && (
            <StitchPanel
              tool={stitch}
              grid={shown.grid}
              window={tools.window}
              finding={measurement.stitches}
              numbers={tools.numbers}
              canUndo={swatch.edits.length > 0}
              canRedo={swatch.undone.length > 0}
              approved={gauge?.status === 'byHand'}
              onLookAgain={collectRegion}
              onTakeBackLook={earlier ? session.takeBackLook : null}
              onByHand={collectLine}
              onNext={approve}
            />
          )}
          {measurement && step === 'stitches' && !tools.hasLines && (
            <NoStitchesPanel
              reason={measurement.stitches.confidence.reasons[0] ?? null}
              onSeeds={collectSeeds}
              onByHand={collectLine}
              onRegion={collectRegion}
              family={stitch.family}
              onFamily={stitch.chooseFamily}
            />
          )}
          {measurement && step === 'gauge' && (
            <GaugePanel
              evenness={evenness}
              map={map}
              onMap={setMap}
              result={result}
              summary={gauge}
              finding={measurement.stitches}
              numbered={{ wales: tools.numbers.wale.length, courses: tools.numbers.course.length }}
              hasScale={swatch.scale !== null}
              scaleDoubts={scaleDoubts}
              spirality={result?.ok && plane ? spiralityOf(result, plane.relativeUncertainty) : null}
              layers={swatch.thicknessMm === null ? swatch.layers : null}
              onLayers={(layers) => session.patchRecord({ layers })}
              onScale={() => choose('scale')}
              onStitches={() => choose('stitches')}
              onNext={() => choose('record')}
            />
          )}
          {step === 'record' && (
            <Suspense fallback={<p className="soft">Opening…</p>}>
              <RecordPanel
                storage={appStorage()}
                swatch={swatch}
                onChange={session.patchRecord}
                onSave={session.save}
              />
            </Suspense>
          )}
          <footer className="panel-foot small soft">
            <span className="file-name">{photo.fileName}</span>
            <Kept session={session} />
            <button type="button" className="button button--quiet" onClick={onLeave}>
              Another photo
            </button>
          </footer>
        </div>
      </section>
    </div>
  );
};
