import { keyHelp } from './keys';
import './marks.css';

/** The keys of the stitch step, over the photo. */
export const KeyHelp = ({ onClose }: { readonly onClose: () => void }) => (
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
