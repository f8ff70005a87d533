import { useState } from 'react';
import type { MachineShop } from '../../store/machineShop';
import { sentenceOf } from '../../ui/sentenceOf';
import { useShop } from './openMachine';

/** After something was deleted, the offer to take it back; it stands until it is closed. */
export const UndoBar = ({ shop }: { readonly shop: MachineShop }) => {
  const undoable = useShop(shop, (state) => state.undoable);
  const [problem, setProblem] = useState<string | null>(null);
  const undo = async (): Promise<void> => {
    try {
      await shop.undo();
      setProblem(null);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div role="status" className="machine-undo">
      {undoable && (
        <div className="machine-undo-bar">
          <span>{problem ?? undoable.sentence}</span>
          <button type="button" className="button" onClick={() => void undo()}>
            Undo
          </button>
          <button
            type="button"
            className="button button--quiet"
            aria-label="Close this message"
            onClick={shop.forgetUndo}
          >
            Close
          </button>
        </div>
      )}
    </div>
  );
};
