import { useEffect, useState } from 'react';
import type { Working } from '../../store/measureSessionState';

/** Shorter waits show nothing: a flash would only unsettle. */
const PATIENCE_MS = 300;

/** What is going on, how far it is, and a way to stop it; appears only when a wait gets long enough to notice. */
export const Waiting = ({ working }: { readonly working: Working | null }) => {
  const [late, setLate] = useState(false);
  const busy = working !== null;
  useEffect(() => {
    if (!busy) {
      setLate(false);
      return;
    }
    const timer = setTimeout(() => setLate(true), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, [busy]);
  if (!working || !late) return null;
  return (
    <div className="waiting" role="status">
      <p>{working.sentence}</p>
      <progress max={1} value={working.share} aria-label="How far it is" />
      <button type="button" className="button" onClick={working.cancel}>
        Cancel
      </button>
    </div>
  );
};
