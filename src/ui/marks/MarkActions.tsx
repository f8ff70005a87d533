import type { StitchGrid } from '../../domain/grid';
import { linesOf } from '../../domain/lineGeometry';
import type { LineNumber } from '../../domain/lineNumbers';
import type { Mark } from './mark';
import './marks.css';
import type { StitchTool } from './useStitchTool';

const nouns = { wale: 'column', course: 'row' } as const;

/** The numbered lines of both families. */
export interface LineNumbersOf {
  readonly wale: readonly LineNumber[];
  readonly course: readonly LineNumber[];
}

/** What a marked line or place is called, e.g. "Column 12" or "Between column 4 and 5". */
export const nameOfMark = (mark: Mark, grid: StitchGrid, numbers: LineNumbersOf): string => {
  const noun = nouns[mark.family];
  if (mark.kind === 'between') return `Between two ${noun}s`;
  const number = numbers[mark.family].find(({ line }) => line.id === mark.id)?.number;
  const line = linesOf(grid, mark.family).find(({ id }) => id === mark.id);
  const gapName = line?.holds === 'purl' ? 'Purl column' : 'Needle gap';
  const what = line?.kind === 'needleGap' ? gapName : noun[0]?.toUpperCase() + noun.slice(1);
  if (line?.kind === 'needleGap') return what;
  return number === undefined ? `${what} outside the window` : `${what} ${number}`;
};

/** What can be done with the marked line or place; nothing while nothing is marked. */
export const MarkActions = ({ tool, name }: { readonly tool: StitchTool; readonly name: string }) => {
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
        <button type="button" className="button" onClick={tool.unmark}>
          Leave it
        </button>
      </div>
      {line && <p className="small soft">Drag the marked {noun} on the photo to move it.</p>}
    </fieldset>
  );
};
