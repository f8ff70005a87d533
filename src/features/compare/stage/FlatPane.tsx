import {
  type KeyboardEvent,
  type ReactNode,
  type RefObject,
  useEffect,
  useRef,
  useSyncExternalStore,
} from 'react';
import { createPortal } from 'react-dom';
import type { SheetPicture } from '../../../domain/compareViewFlat';
import { type PhotoPoint, photoPoint } from '../../../domain/coordinates';
import type { SessionPhoto } from '../../../store/measureSessionState';
import type { Session } from '../../../store/measureSessionTypes';
import type { Held } from '../../../ui/marks/held';
import type { LineColours } from '../../../ui/marks/paintGrid';
import { Loupe } from '../../../ui/stage/Loupe';
import type { Painter } from '../../../ui/stage/painter';
import { loupeAt, type PressOutcome } from '../../../ui/stage/pressTool';
import { usePress } from '../../../ui/stage/usePress';
import type { ViewSample } from '../../../ui/stage/viewport';
import { wheelSample } from '../../../ui/stage/wheel';
import { frameBox, onFrame } from './frame';
import { PaneOverlay } from './PaneOverlay';
import { type LengthUnit, Ruler } from './Ruler';
import type { SharedView } from './sharedView';
import { useFlatDrawing } from './useFlatDrawing';
import { useFlatImage } from './useFlatImage';
import { useFollowing } from './useFollowing';
import { type SideTool, useSideTool } from './useSideTool';

/** What can be held on a flat picture besides lines: the frame, at the place where its middle was. */
type PaneHeld = Held | { readonly kind: 'frame'; readonly middle: PhotoPoint };

/** What all panes have in common. */
export interface Together {
  readonly view: SharedView;
  readonly unit: LengthUnit;
  readonly frame: PhotoPoint;
  readonly moveFrame: (middle: PhotoPoint) => void;
  readonly showsFrame: boolean;
  readonly showsLines: boolean;
  readonly correcting: boolean;
  readonly colours: LineColours;
}

interface Props {
  readonly name: string;
  readonly label: string;
  readonly session: Session;
  readonly photo: SessionPhoto;
  readonly size: { readonly width: number; readonly height: number };
  readonly picture: SheetPicture;
  /** Names the plane map; a new name draws the picture anew. */
  readonly shape: string;
  readonly together: Together;
  /** Where the corrections' buttons go while this pane is the one being corrected. */
  readonly panel: HTMLElement | null;
  readonly corrections: (tool: SideTool) => ReactNode;
  /** The flat picture is there. */
  readonly onImage: (canvas: HTMLCanvasElement) => void;
  /** This pane was touched. */
  readonly onTouch: () => void;
  /** Only the part to the right of this share of the width is shown. */
  readonly clipFrom: number;
  readonly clipTo: number;
}

const PAN_PX = 60;
const ZOOM_STEP = 1.35;
const FRAME_STEP = 5;
const viewKeys: Readonly<Record<string, ViewSample>> = {
  '+': { kind: 'zoomBy', factor: ZOOM_STEP },
  '=': { kind: 'zoomBy', factor: ZOOM_STEP },
  '-': { kind: 'zoomBy', factor: 1 / ZOOM_STEP },
  ArrowLeft: { kind: 'panBy', dx: PAN_PX, dy: 0 },
  ArrowRight: { kind: 'panBy', dx: -PAN_PX, dy: 0 },
  ArrowUp: { kind: 'panBy', dx: 0, dy: PAN_PX },
  ArrowDown: { kind: 'panBy', dx: 0, dy: -PAN_PX },
};
const frameKeys: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

const useWheel = (pane: RefObject<HTMLElement | null>, view: SharedView): void => {
  useEffect(() => {
    const element = pane.current;
    if (!element) return;
    const wheel = (event: WheelEvent): void => {
      event.preventDefault();
      const box = element.getBoundingClientRect();
      view.send(wheelSample(event, event.clientX - box.left, event.clientY - box.top));
    };
    element.addEventListener('wheel', wheel, { passive: false });
    return () => element.removeEventListener('wheel', wheel);
  }, [pane, view]);
};

/** One flat picture that moves in step with the others. */
export const FlatPane = (props: Props) => {
  const { together, picture, session, photo, name } = props;
  const { view, unit, frame, correcting } = together;
  const element = useRef<HTMLElement>(null);
  const moving = useRef<HTMLDivElement>(null);
  const behind = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const rested = useSyncExternalStore(view.onRest, view.rested);
  const flat = useFlatImage(photo, props.size, picture, props.shape);
  const image = flat.kind === 'ready' ? flat.image : null;
  const { onImage } = props;
  useEffect(() => {
    if (image) onImage(image.canvas);
  }, [image, onImage]);
  const tool = useSideTool(session, picture, together.colours, correcting);
  useFlatDrawing({
    view,
    pane: element,
    canvas,
    behind,
    image,
    box: picture.box,
    paint: together.showsLines ? tool.paint : null,
  });
  useFollowing(view, moving, 'both');
  useWheel(element, view);

  const hitAt = (at: PhotoPoint, reach: number): PaneHeld | null => {
    props.onTouch();
    const held = tool.hitAt(at, reach);
    if (held) return held;
    return together.showsFrame && !correcting && onFrame(frame, unit, at, reach)
      ? { kind: 'frame', middle: frame }
      : null;
  };
  const onOutcome = (outcome: NonNullable<PressOutcome<PaneHeld>>): void => {
    if (outcome.kind === 'bail') {
      tool.onOutcome(outcome);
      return;
    }
    const { target } = outcome;
    if (target?.kind === 'frame') {
      if (outcome.kind === 'tap') return;
      const { from, to } = outcome;
      together.moveFrame(photoPoint(target.middle.x + to.x - from.x, target.middle.y + to.y - from.y));
    } else if (correcting) tool.onOutcome({ ...outcome, target } as NonNullable<PressOutcome<Held>>);
    else if (outcome.kind === 'tap') together.moveFrame(outcome.at);
  };
  const press = usePress<PaneHeld>(element, view.live, hitAt, onOutcome);

  const onKey = (event: KeyboardEvent<HTMLElement>): void => {
    if (event.target !== event.currentTarget) return;
    if (event.key === 'Escape' && press.bail()) event.preventDefault();
    else if (tool.onKey(event)) event.preventDefault();
    else if (!event.ctrlKey && !event.metaKey && !event.altKey) {
      const step = event.shiftKey ? frameKeys[event.key] : undefined;
      const sample = viewKeys[event.key];
      if (step)
        together.moveFrame(photoPoint(frame.x + FRAME_STEP * step[0], frame.y + FRAME_STEP * step[1]));
      else if (sample) view.send(sample);
      else return;
      event.preventDefault();
    }
  };

  const glass = correcting ? loupeAt(press.state) : null;
  const wantsGlass = glass !== null && (press.pointer !== 'mouse' || press.state.kind !== 'pressing');
  const paintGlass: Painter = (context, at, density) => {
    if (image)
      context.drawImage(image.canvas, picture.box.x, picture.box.y, picture.box.width, picture.box.height);
    tool.paint(context, at, density);
  };
  const grip = press.state.kind === 'dragging' || press.state.kind === 'panning' ? ' stage--gripped' : '';
  const clip =
    props.clipFrom > 0 || props.clipTo < 1
      ? { clipPath: `inset(0 ${(1 - props.clipTo) * 100}% 0 ${props.clipFrom * 100}%)` }
      : {};
  return (
    <>
      <section
        ref={element}
        className={`stage flat-pane${grip}`}
        style={clip}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture takes keys of its own
        tabIndex={0}
        role="application"
        aria-label={props.label}
        data-pane={name}
        data-px-per-unit={image?.pxPerUnit}
        onKeyDown={onKey}
        onFocus={props.onTouch}
        {...press.handlers}
      >
        <div ref={moving} className="flat-moving">
          <div ref={behind} className="flat-behind" />
          <canvas ref={canvas} className="flat-drawing" hidden={image === null} />
          <PaneOverlay tool={tool} together={together} rested={rested} />
        </div>
        <Ruler view={view} rested={rested} unit={unit} zero={frameBox(frame, unit).corner} />
        {flat.kind !== 'ready' && (
          <p className="flat-waiting" role="status">
            {flat.kind === 'drawing' ? 'Laying the photo flat…' : 'This browser cannot draw this photo.'}
          </p>
        )}
        {wantsGlass && glass && (
          <Loupe
            at={glass}
            view={view.shown().view}
            stage={view.shown().stage}
            image={null}
            paint={paintGlass}
          />
        )}
      </section>
      {/* Beside the section, or presses in the panel would count as presses on the picture. */}
      {props.panel && createPortal(props.corrections(tool), props.panel)}
    </>
  );
};
