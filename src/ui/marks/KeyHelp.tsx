import { useEffect } from 'react';
import { keyHelp } from './keys';
import './marks.css';

/** The keys of the stitch step, over the photo; Escape closes them wherever the keyboard is. */
export const KeyHelp = ({ onClose }: { readonly onClose: () => void }) => {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key === 'Escape') onClose();
    };
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, [onClose]);
  return (
    <div className="key-help" role="dialog" aria-label="Keys">
      <dl>
        {keyHelp.map(({ keys, does }) => (
          <div key={keys}>
            <dt>{keys}</dt>
            <dd>{does}</dd>
          </div>
        ))}
      </dl>
      <button type="button" className="button" onClick={onClose}>
        Close
      </button>
    </div>
  );
};
