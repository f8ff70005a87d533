import type { CountWindow, StitchGrid } from '../../../domain/grid';
import type { LineNumber } from '../../../domain/lineNumbers';
import type { StitchFinding } from '../../../domain/measurement';
import { LineTools } from '../../../ui/marks/LineTools';
import { MarkActions, nameOfMark } from '../../../ui/marks/MarkActions';
import type { StitchTool } from '../../../ui/marks/useStitchTool';

interface Props {
  readonly tool: StitchTool;
  readonly grid: StitchGrid;
  readonly window: CountWindow | null;
  readonly finding: StitchFinding;
  readonly numbers: { readonly wale: readonly LineNumber[]; readonly course: readonly LineNumber[] };
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly approved: boolean;
  readonly onLookAgain: () => void;
  /** Puts back the lines from before the last look; null when there are none. */
  readonly onTakeBackLook: (() => void) | null;
  readonly onByHand: () => void;
  readonly onNext: () => void;
}

/** The second step: look over the columns and rows, put right what is wrong. */
export const StitchPanel = (props: Props) => {
  const { tool, grid, numbers, finding } = props;
  const name = tool.mark ? nameOfMark(tool.mark, grid, numbers) : '';
  const doubtful = finding.confidence.status !== 'measured' && !props.approved;
  return (
    <div className="stack">
      {!tool.mark && (
        <p>
          Every column and row should carry one line: tap a line that is wrong, or a place that lacks one.
        </p>
      )}
      <LineTools tool={tool} numbers={numbers} canUndo={props.canUndo} canRedo={props.canRedo} />
      <MarkActions tool={tool} name={name} />
      <p className="visually-hidden" role="status">
        {tool.mode === 'moveLine' ? `Moving ${name}. ` : ''}
        {tool.mode === 'window'
          ? `Moving the window, ${(tool.handle ?? 0) < 4 ? 'corner' : 'side'} ${((tool.handle ?? 0) % 4) + 1}. `
          : ''}
        {name}
      </p>
      {finding.disagreements.length > 0 && (
        <p className="small soft">
          Rings mark places where columns and rows disagree: a dropped stitch, a slip, or an edge.
        </p>
      )}
      {doubtful && (
        <div className="note note--warn">
          <p>
            <strong>This is a proposal.</strong> {finding.confidence.reasons[0]}
          </p>
        </div>
      )}
      <div className="row">
        <button
          type="button"
          className={`button${tool.mark ? '' : ' button--primary'}`}
          onClick={props.onNext}
        >
          The lines are right
        </button>
        {!tool.mark && (
          <button type="button" className="button" onClick={props.onLookAgain}>
            Look elsewhere
          </button>
        )}
        {props.onTakeBackLook && (
          <button type="button" className="button" onClick={props.onTakeBackLook}>
            Put the earlier lines back
          </button>
        )}
      </div>
      <details>
        <summary>Window, keys and placing by hand</summary>
        <div className="stack small">
          <p>Drag the white corners and sides to choose what is counted; that never changes a line.</p>
          <div className="row">
            <button type="button" className="button" onClick={tool.toggleKeys} aria-pressed={tool.showsKeys}>
              Show the keys
            </button>
            <button type="button" className="button" onClick={props.onByHand}>
              Place a line by hand
            </button>
          </div>
        </div>
      </details>
    </div>
  );
};
