import { useEffect } from 'react';
import { useParams } from 'wouter';
import type { IncomingPhoto } from '../../store/measureSession';
import { Intake } from './intake/Intake';
import { incomingFile } from './intake/incoming';
import { useDropAndPaste } from './intake/useDropAndPaste';
import './measure.css';
import { Problem } from './Problem';
import { useSession, useSessionState } from './useSession';
import { Waiting } from './Waiting';
import { Workbench } from './Workbench';

/** The main screen: from a photo of a swatch to its record. */
const MeasureScreen = () => {
  const session = useSession();
  const { swatchId } = useParams<{ swatchId?: string }>();
  const phase = useSessionState(session, (state) => state.phase);
  const swatch = useSessionState(session, (state) => state.swatch);
  const photo = useSessionState(session, (state) => state.photo);
  const problem = useSessionState(session, (state) => state.problem);
  const working = useSessionState(session, (state) => state.working);
  const hasDraft = useSessionState(session, (state) => state.hasDraft);

  useEffect(() => {
    void session.start(swatchId ?? null);
  }, [session, swatchId]);

  const open = (incoming: IncomingPhoto): void => void session.openPhoto(incoming);
  const hovering = useDropAndPaste((file) => open(incomingFile(file)));

  return (
    <div className="measure">
      <Problem sentence={problem} onDismiss={session.dismissProblem} />
      {phase === 'open' && swatch && photo ? (
        <Workbench key={photo.id} session={session} swatch={swatch} photo={photo} />
      ) : (
        phase === 'empty' && (
          <>
            <Intake onPhoto={open} onResume={hasDraft ? () => void session.resume() : null} />
            <div className="intake-waiting">
              <Waiting working={working} />
            </div>
          </>
        )
      )}
      {hovering && <p className="drop-here">Let go to measure this photo</p>}
    </div>
  );
};

export default MeasureScreen;
