import { Handles } from '../../../ui/marks/Handles';
import { LineNumbers } from '../../../ui/marks/LineNumbers';
import type { ViewState } from '../../../ui/stage/viewport';
import type { Together } from './FlatPane';
import { FrameMark } from './FrameMark';
import type { SideTool } from './useSideTool';

interface Props {
  readonly tool: SideTool;
  readonly together: Together;
  /** The view that the picture below is drawn for. */
  readonly rested: ViewState;
}

/** Frame, numbers and handles: they lie on the fabric and are moved along with it. */
export const PaneOverlay = ({ tool, together, rested: { view, stage } }: Props) => (
  <svg className="stage-overlay" width={stage.width} height={stage.height} aria-hidden="true">
    {together.showsLines && (
      <>
        <LineNumbers numbers={tool.sheetNumbers.wale} family="wale" view={view} />
        <LineNumbers numbers={tool.sheetNumbers.course} family="course" view={view} />
      </>
    )}
    <Handles points={tool.handles} view={view} shape="square" active={tool.stitch.handle} name="window" />
    {together.showsFrame && !together.correcting && (
      <FrameMark middle={together.frame} unit={together.unit} view={view} />
    )}
  </svg>
);
