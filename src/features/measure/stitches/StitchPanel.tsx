import type { CountWindow, StitchGrid } from '../../../domain/grid';
import type { StitchFinding } from '../../../domain/measurement';
import { RedoIcon, UndoIcon } from '../../../ui/icons';
import type { LineNumber } from './geometry';
import { linesOf, type Mark } from './mark';
import type { StitchTool } from './useStitchTool';

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

const nouns = { wale: 'column', course: 'row' } as const;

/** What a marked line or place is called, e.g. "Column 12" or "Between column 4 and 5". */
export const nameOfMark = (mark: Mark, grid: StitchGrid, numbers: Props['numbers']): string => {
  const noun = nouns[mark.family];
  if (mark.kind === 'between') return `Between two ${noun}s`;
  const number = numbers[mark.family].find(({ line }) => line.id === mark.id)?.number;
  const line = linesOf(grid, mark.family).find(({ id }) => id === mark.id);
  const what = line?.kind === 'needleGap' ? 'Needle gap' : noun[0]?.toUpperCase() + noun.slice(1);
  if (line?.kind === 'needleGap') return what;
  return number === undefined ? `${what} outside the window` : `${what} ${number}`;
};

const MarkActions = ({ tool, name }: { readonly tool: StitchTool; readonly name: string }) => {
  const { mark } = tool;
  if (!mark) return null;
  const noun = nouns[mark.family];
  const line = mark.kind === 'line';
  return (
    <fieldset className="mark-actions" aria-label={`What to do with: ${name}`}>
      <div className="mark-head">
        <button
          type="button"
          className="button button--icon"
          aria-label={`${noun} before`}
          onClick={() => tool.walk(mark.family, -1)}
        >
          ‹
        </button>
        <strong>{name}</strong>
        <button
          type="button"
          className="button button--icon"
          aria-label={`${noun} after`}
          onClick={() => tool.walk(mark.family, 1)}
        >
          ›
        </button>
      </div>
      <div className="mark-buttons">
        {line && (
          <>
            <button type="button" className="button button--primary" onClick={() => tool.correct('remove')}>
              Remove
            </button>
            <button type="button" className="button" onClick={() => tool.correct('split')}>
              Split in two
            </button>
            <button type="button" className="button" onClick={() => tool.correct('join')}>
              Join with next
            </button>
            {mark.family === 'wale' && (
              <button type="button" className="button" onClick={() => tool.correct('gap')}>
                Needle gap
              </button>
            )}
          </>
        )}
        {!line && (
          <>
            <button type="button" className="button button--primary" onClick={() => tool.correct('add')}>
              Add a {noun} here
            </button>
            <button type="button" className="button" onClick={() => tool.correct('join')}>
              Join the two
            </button>
          </>
        )}
        <button type="button" className="button button--quiet" onClick={tool.unmark}>
          Done
        </button>
      </div>
      {line && <p className="small soft">Drag the marked {noun} on the photo to move it.</p>}
    </fieldset>
  );
};

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
      <div className="row panel-tools">
        <fieldset className="choices">
          <legend className="visually-hidden">Which lines to correct</legend>
          {(['wale', 'course'] as const).map((family) => (
            <button
              key={family}
              type="button"
              aria-pressed={tool.family === family}
              onClick={() => tool.chooseFamily(family)}
            >
              {numbers[family].length} {nouns[family]}s
            </button>
          ))}
        </fieldset>
        <button
          type="button"
          className="button button--icon"
          aria-label="Undo"
          disabled={!props.canUndo}
          onClick={tool.undo}
        >
          <UndoIcon />
        </button>
        <button
          type="button"
          className="button button--icon"
          aria-label="Redo"
          disabled={!props.canRedo}
          onClick={tool.redo}
        >
          <RedoIcon />
        </button>
      </div>
      <MarkActions tool={tool} name={name} />
      <p className="visually-hidden" role="status">
        {tool.mode === 'moveLine' ? `Moving ${name}. ` : ''}
        {tool.mode === 'window'
          ? `Moving the window, ${(tool.handle ?? 0) < 4 ? 'corner' : 'side'} ${((tool.handle ?? 0) % 4) + 1}. `
          : ''}
        {name}
      </p>
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
            Look again elsewhere
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
