import type { Session } from '../../store/measureSessionTypes';
import { useSessionState } from './useSession';

const keptWords = { stored: 'Kept', storing: 'Keeping…', failed: 'Not kept yet' } as const;

/** Whether the newest version is stored. It changes twice with every correction, so nothing else is drawn again with it. */
export const Kept = ({ session }: { readonly session: Session }) => {
  const kept = useSessionState(session, (state) => state.kept);
  return (
    <span role="status" className={kept === 'failed' ? 'problem' : undefined}>
      {keptWords[kept]}
    </span>
  );
};
