import { lazy, Suspense, useEffect } from 'react';
import { useLocation, useParams } from 'wouter';
import type { IncomingPhoto } from '../../store/measureSessionTypes';
import { DropHere } from '../../ui/photoIn/DropHere';
import { incomingFile } from '../../ui/photoIn/incoming';
import { useDropAndPaste } from '../../ui/photoIn/useDropAndPaste';
import { Intake } from './intake/Intake';
import './measure.css';
import { Problem } from './Problem';
import { useSession, useSessionState } from './useSession';
import { Waiting } from './Waiting';

/** Not needed while a photo is still being chosen, so it is fetched meanwhile. */
const loadWorkbench = () => import('./Workbench');
const Workbench = lazy(async () => ({ default: (await loadWorkbench()).Workbench }));

/** The main screen: from a photo of a swatch to its record. */
const MeasureScreen = () => {
  const session = useSession();
  const [, navigate] = useLocation();
  const { swatchId } = useParams<{ swatchId?: string }>();
  const phase = useSessionState(session, (state) => state.phase);
  const swatch = useSessionState(session, (state) => state.swatch);
  const photo = useSessionState(session, (state) => state.photo);
  const problem = useSessionState(session, (state) => state.problem);
  const working = useSessionState(session, (state) => state.working);
  const hasDraft = useSessionState(session, (state) => state.hasDraft);
  const awaiting = useSessionState(session, (state) => state.awaiting);

  useEffect(() => {
    void session.start(swatchId ?? null);
    void loadWorkbench();
  }, [session, swatchId]);

  /** The address names a swatch only while that one is open; a reload then opens the same again. */
  const open = (incoming: IncomingPhoto): void => {
    void session.openPhoto(incoming).then(() => {
      if (session.store.getState().swatch?.id !== swatchId) navigate('/measure');
    });
  };
  const leave = (): void => {
    session.close();
    navigate('/measure');
  };
  const hovering = useDropAndPaste((file) => open(incomingFile(file)));

  return (
    <div className="measure">
      <Problem sentence={problem} onDismiss={session.dismissProblem} />
      {phase === 'open' && swatch && photo ? (
        <Suspense fallback={<p className="page soft">Opening…</p>}>
          <Workbench key={photo.id} session={session} swatch={swatch} photo={photo} onLeave={leave} />
        </Suspense>
      ) : (
        phase === 'empty' && (
          <>
            <Intake
              onPhoto={open}
              onResume={hasDraft ? () => void session.resume() : null}
              again={awaiting}
              onNotAgain={leave}
            />
            <div className="intake-waiting">
              <Waiting working={working} />
            </div>
          </>
        )
      )}
      {hovering && <DropHere>Let go to measure this photo</DropHere>}
    </div>
  );
};

export default MeasureScreen;
