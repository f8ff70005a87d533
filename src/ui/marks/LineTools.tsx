import type { LineNumber } from '../../domain/lineNumbers';
import { RedoIcon, UndoIcon } from '../icons';
import './marks.css';
import type { StitchTool } from './useStitchTool';

interface Props {
  readonly tool: StitchTool;
  readonly numbers: { readonly wale: readonly LineNumber[]; readonly course: readonly LineNumber[] };
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

const nouns = { wale: 'column', course: 'row' } as const;

/** Which lines answer to a tap, how many there are of each, and the way back from a correction. */
export const LineTools = ({ tool, numbers, canUndo, canRedo }: Props) => (
  <div className="row line-tools">
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
      disabled={!canUndo}
      onClick={tool.undo}
    >
      <UndoIcon />
    </button>
    <button
      type="button"
      className="button button--icon"
      aria-label="Redo"
      disabled={!canRedo}
      onClick={tool.redo}
    >
      <RedoIcon />
    </button>
  </div>
);
