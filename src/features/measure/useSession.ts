import { useStore } from 'zustand';
import { measureSession } from '../../store/measureSessionApp';
import type { SessionState } from '../../store/measureSessionState';
import type { Session } from '../../store/measureSessionTypes';

/** The page's one measuring session. */
export const useSession = (): Session => measureSession();

/** A part of the session's state; the component draws again only when that part changes. */
export const useSessionState = <T>(session: Session, select: (state: SessionState) => T): T =>
  useStore(session.store, select);
