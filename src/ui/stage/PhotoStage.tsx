import { type KeyboardEvent, type ReactNode, useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { PhotoPoint } from '../../domain/coordinates';
import { FitIcon, MinusIcon, PlusIcon } from '../icons';
import { Loupe } from './Loupe';
import type { Painter } from './painter';
import { loupeAt, type PressOutcome } from './pressTool';
import './stage.css';
import { usePress } from './usePress';
import { useView } from './useView';
import type { Viewport, ViewSample } from './viewport';

export interface StagePhoto {
  /** Address that an image element can show. */
  readonly url: string;
  readonly widthPx: number;
  readonly heightPx: number;
}

interface Props<T> {
  readonly photo: StagePhoto;
  /** What a screen reader calls the stage. */
  readonly label: string;
  /** One sentence a key; shown on demand elsewhere, read out here. */
  readonly describedBy?: string;
  /** These photo points are brought to full size whenever `focusKey` changes. */
  readonly focus: readonly PhotoPoint[];
  readonly focusKey: string;
  /** Comes into sight whenever it changes. */
  readonly reveal: PhotoPoint | null;
  /** Lines over the photo, in photo px. */
  readonly paint: Painter;
  /** Handles and words over the photo, in CSS px of the stage. */
  readonly overlay: (view: Viewport) => ReactNode;
  readonly hitAt: (at: PhotoPoint, reachPhotoPx: number) => T | null;
  readonly onOutcome: (outcome: NonNullable<PressOutcome<T>>) => void;
  /** Keys go here first; true when one was used. */
  readonly onKey: (event: KeyboardEvent<HTMLElement>) => boolean;
  /** Controls that float over the photo. */
  readonly children?: ReactNode;
}

/** Arrow keys move the photo by this much, CSS px. */
const PAN_PX = 60;
const ZOOM_STEP = 1.35;

const viewKeys: Readonly<Record<string, ViewSample>> = {
  '+': { kind: 'zoomBy', factor: ZOOM_STEP },
  '=': { kind: 'zoomBy', factor: ZOOM_STEP },
  '-': { kind: 'zoomBy', factor: 1 / ZOOM_STEP },
  '0': { kind: 'fit', points: [] },
  ArrowLeft: { kind: 'panBy', dx: PAN_PX, dy: 0 },
  ArrowRight: { kind: 'panBy', dx: -PAN_PX, dy: 0 },
  ArrowUp: { kind: 'panBy', dx: 0, dy: PAN_PX },
  ArrowDown: { kind: 'panBy', dx: 0, dy: -PAN_PX },
};

/** The photo, as large as it goes: pan, zoom, loupe, and whatever a feature draws over it and does with a press. */
export const PhotoStage = <T,>(props: Props<T>) => {
  const { photo, focus, focusKey, reveal, paint, overlay, onKey } = props;
  const element = useRef<HTMLElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const [image, setImage] = useState<HTMLImageElement | null>(null);
  const live = useView(element, { width: photo.widthPx, height: photo.heightPx });
  const press = usePress(element, live, props.hitAt, props.onOutcome);
  const { view, stage } = live.state;
  const { send } = live;

  const focused = useRef('');
  useEffect(() => {
    if (focused.current === focusKey) return;
    focused.current = focusKey;
    send({ kind: 'fit', points: focus });
  }, [focusKey, focus, send]);

  useEffect(() => {
    if (reveal) send({ kind: 'reveal', point: reveal });
  }, [reveal, send]);

  useLayoutEffect(() => {
    const target = canvas.current;
    const context = target?.getContext('2d');
    if (!target || !context) return;
    const density = Math.min(2, window.devicePixelRatio || 1);
    const width = Math.round(stage.width * density);
    const height = Math.round(stage.height * density);
    if (target.width !== width || target.height !== height) {
      target.width = width;
      target.height = height;
    }
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, width, height);
    context.setTransform(
      density * view.scale,
      0,
      0,
      density * view.scale,
      density * view.x,
      density * view.y,
    );
    paint(context, view, density);
  }, [view, stage, paint]);

  const handleKey = (event: KeyboardEvent<HTMLElement>): void => {
    if (event.target !== event.currentTarget) return;
    if (event.key === 'Escape' && press.bail()) {
      event.preventDefault();
      return;
    }
    if (onKey(event)) {
      event.preventDefault();
      return;
    }
    const sample = event.ctrlKey || event.metaKey || event.altKey ? undefined : viewKeys[event.key];
    if (!sample) return;
    event.preventDefault();
    send(sample);
  };

  const glass = loupeAt(press.state);
  const wantsGlass = glass !== null && (press.pointer !== 'mouse' || press.state.kind !== 'pressing');
  const grip = press.state.kind === 'dragging' || press.state.kind === 'panning' ? ' stage--gripped' : '';

  return (
    <div className="stage-frame">
      <section
        ref={element}
        className={`stage${grip}`}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the stage takes keys of its own (see aria-describedby)
        tabIndex={0}
        role="application"
        aria-label={props.label}
        aria-describedby={props.describedBy}
        data-view={`${view.scale} ${view.x} ${view.y}`}
        onKeyDown={handleKey}
        {...press.handlers}
      >
        <img
          ref={setImage}
          className="stage-photo"
          src={photo.url}
          alt=""
          draggable={false}
          width={photo.widthPx}
          height={photo.heightPx}
          style={{ transform: `translate(${view.x}px, ${view.y}px) scale(${view.scale})` }}
        />
        <canvas ref={canvas} className="stage-lines" />
        <svg className="stage-overlay" width={stage.width} height={stage.height} aria-hidden="true">
          {overlay(view)}
        </svg>
        {wantsGlass && glass && <Loupe at={glass} view={view} stage={stage} image={image} paint={paint} />}
      </section>
      <div className="stage-zoom">
        <button
          type="button"
          aria-label="Zoom in"
          onClick={() => send({ kind: 'zoomBy', factor: ZOOM_STEP })}
        >
          <PlusIcon />
        </button>
        <button
          type="button"
          aria-label="Zoom out"
          onClick={() => send({ kind: 'zoomBy', factor: 1 / ZOOM_STEP })}
        >
          <MinusIcon />
        </button>
        <button
          type="button"
          aria-label="Show the whole photo"
          onClick={() => send({ kind: 'fit', points: [] })}
        >
          <FitIcon />
        </button>
      </div>
      {props.children}
    </div>
  );
};
