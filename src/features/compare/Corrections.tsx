import { useStore } from 'zustand';
import { LineTools } from '../../ui/marks/LineTools';
import { MarkActions, nameOfMark } from '../../ui/marks/MarkActions';
import type { SideTool } from './stage/useSideTool';
import type { ReadSide } from './useComparison';

interface Props {
  readonly entry: ReadSide;
  readonly tool: SideTool;
  readonly onDone: () => void;
}

const keptWords = { stored: 'Kept', storing: 'Keeping…', failed: 'Not kept yet' } as const;

/** Putting a miscount right without leaving the comparison: the same marks and corrections as on the measuring screen. */
export const Corrections = ({ entry, tool, onDone }: Props) => {
  const { session } = entry.side;
  const swatch = useStore(session.store, (state) => state.swatch);
  const kept = useStore(session.store, (state) => state.kept);
  const { stitch, grid, numbers } = tool;
  if (!swatch || !grid) return null;
  const name = stitch.mark ? nameOfMark(stitch.mark, grid, numbers) : '';
  return (
    <section className="corrections stack-small" aria-label={`Correcting ${entry.name}`}>
      <p>
        <strong>Correcting {entry.name}.</strong> Tap a line that is wrong, or a place that lacks one.{' '}
        <span className="soft small" data-testid="kept">
          {keptWords[kept]}
        </span>
      </p>
      <LineTools
        tool={stitch}
        numbers={numbers}
        canUndo={swatch.edits.length > 0}
        canRedo={swatch.undone.length > 0}
      />
      <MarkActions tool={stitch} name={name} />
      <p className="visually-hidden" role="status">
        {name}
      </p>
      <div className="row">
        <button
          type="button"
          className="button button--primary"
          onClick={() => {
            session.approveLines();
            onDone();
          }}
        >
          The lines are right
        </button>
        <button type="button" className="button" onClick={onDone}>
          Stop correcting
        </button>
      </div>
    </section>
  );
};
