import { type ReactNode, type RefObject, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { Sheet } from '../../../domain/compareViewFlat';
import { windowOnSheet } from '../../../domain/compareViewFlat';
import { type PhotoPoint, photoPoint } from '../../../domain/coordinates';
import type { SideReading } from '../../../store/compareReading';
import { FitIcon, MinusIcon, PlusIcon } from '../../../ui/icons';
import '../../../ui/stage/stage.css';
import { lineColours } from '../../../ui/marks/paintGrid';
import type { ReadSide } from '../useComparison';
import { Divider } from './Divider';
import { FlatPane } from './FlatPane';
import type { LengthUnit } from './Ruler';
import { createSharedView, type SharedView } from './sharedView';
import type { SideTool } from './useSideTool';

/** How the pictures lie: each in a field of its own, or two over each other with a divider. */
export type Layout = 'beside' | 'wipe';

export interface StageSettings {
  readonly layout: Layout;
  readonly unit: LengthUnit;
  readonly showsLines: boolean;
  readonly showsFrame: boolean;
  readonly correcting: boolean;
  /** Which one lies over the first when wiping, by its place. */
  readonly over: number;
}

interface Props {
  readonly sides: readonly (ReadSide & { readonly reading: SideReading })[];
  readonly sheet: Sheet;
  readonly settings: StageSettings;
  /** Chooses which one lies over the first, by its place. */
  readonly onOver: (over: number) => void;
  /** Key of the side that is being corrected. */
  readonly active: string | null;
  readonly onActive: (key: string) => void;
  readonly panel: HTMLElement | null;
  readonly corrections: (side: ReadSide, tool: SideTool) => ReactNode;
  /** Keeps each flat picture by the key of its side. */
  readonly images: RefObject<Map<string, HTMLCanvasElement>>;
  /** Told where the frame is, for the shared picture. */
  readonly onFrame: (middle: PhotoPoint) => void;
}

const ZOOM_STEP = 1.35;
const ignore = (): void => undefined;

const Zoom = ({ view, onFit }: { readonly view: SharedView; readonly onFit: () => void }) => (
  <div className="stage-zoom">
    <button
      type="button"
      aria-label="Zoom in"
      onClick={() => view.send({ kind: 'zoomBy', factor: ZOOM_STEP })}
    >
      <PlusIcon />
    </button>
    <button
      type="button"
      aria-label="Zoom out"
      onClick={() => view.send({ kind: 'zoomBy', factor: 1 / ZOOM_STEP })}
    >
      <MinusIcon />
    </button>
    <button type="button" aria-label="Show the counted windows" onClick={onFit}>
      <FitIcon />
    </button>
  </div>
);

/** Room for the ruler and the rows' numbers to the left of the windows and for the ruler below, as shares of their size. */
const ROOM = { left: 0.16, below: 0.06 } as const;

/** The corners of all counted windows on the sheet, with room for what stands beside them: what is looked at first. */
const windowPoints = (sides: Props['sides'], sheet: Sheet): PhotoPoint[] => {
  const corners = cornersOf(sides, sheet);
  const xs = corners.map((p) => p.x);
  const ys = corners.map((p) => p.y);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  return corners.length === 0
    ? []
    : [
        photoPoint(left - ROOM.left * (right - left), top),
        photoPoint(right, bottom + ROOM.below * (bottom - top)),
      ];
};

const cornersOf = (sides: Props['sides'], sheet: Sheet): PhotoPoint[] =>
  sides.flatMap(({ reading }, i) => {
    const picture = sheet.pictures[i];
    return picture && reading.derived.window ? windowOnSheet(reading.derived.window, picture).corners : [];
  });

/** All pictures at one scale, moved by one view. */
export const CompareStage = (props: Props) => {
  const { sides, sheet, settings } = props;
  const { layout } = settings;
  const [colours] = useState(() => lineColours(document.documentElement));
  const [frame, setFrame] = useState(sheet.middle);
  const [share, setShare] = useState(0.5);
  const view = useMemo(() => createSharedView({ width: sheet.width, height: sheet.height }), [sheet]);
  const first = useRef<HTMLDivElement>(null);
  const showWindows = (): void => view.send({ kind: 'fit', points: windowPoints(sides, sheet) });

  const { onFrame } = props;
  useEffect(() => setFrame(sheet.middle), [sheet]);
  useEffect(() => onFrame(frame), [frame, onFrame]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: a correction must not move the view
  useLayoutEffect(() => {
    const field = first.current;
    if (!field) return;
    let measured = false;
    const measure = (): void => {
      const { clientWidth: width, clientHeight: height } = field;
      if (width === 0 || height === 0) return;
      view.send({ kind: 'resize', stage: { width, height } });
      if (!measured) showWindows();
      measured = true;
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(field);
    return () => observer.disconnect();
  }, [view, layout, sides.length]);

  const { images } = props;
  const keys = sides.map(({ side }) => side.key).join(' ');
  const keepers = useMemo(
    () => keys.split(' ').map((key) => (canvas: HTMLCanvasElement) => void images.current.set(key, canvas)),
    [keys, images],
  );

  const over = Math.min(Math.max(1, settings.over), sides.length - 1);
  const visible = layout === 'wipe' ? [0, over] : sides.map((_, i) => i);
  const together = {
    view,
    unit: settings.unit,
    frame,
    moveFrame: setFrame,
    showsFrame: settings.showsFrame,
    showsLines: settings.showsLines || settings.correcting,
    correcting: settings.correcting,
    colours,
  };
  return (
    <div className={`flat-stage flat-stage--${layout} flat-stage--${visible.length}`}>
      {visible.map((index, place) => {
        const side = sides[index];
        const picture = sheet.pictures[index];
        const photo = side?.side.session.store.getState().photo;
        if (!side || !picture || !photo) return null;
        const { swatch } = side.reading;
        return (
          <div key={side.side.key} ref={place === 0 ? first : undefined} className="flat-field">
            <FlatPane
              name={side.name}
              label={`${side.name}, laid flat. Arrow keys move all pictures, Shift with arrow keys moves the frame${
                settings.correcting ? '; while correcting, arrow keys go from line to line' : ''
              }.`}
              session={side.side.session}
              photo={photo}
              size={{ width: swatch.photoFacts?.widthPx ?? 1, height: swatch.photoFacts?.heightPx ?? 1 }}
              picture={picture}
              shape={`${photo.id} ${swatch.scale?.reference.plane?.photoToPlane.join(' ')}`}
              together={together}
              panel={settings.correcting && props.active === side.side.key ? props.panel : null}
              corrections={(tool) => props.corrections(side, tool)}
              onImage={keepers[index] ?? ignore}
              onTouch={() => props.onActive(side.side.key)}
              clipFrom={layout === 'wipe' && place === 1 ? share : 0}
              clipTo={layout === 'wipe' && place === 0 ? share : 1}
            />
            <span className={`flat-name flat-name--${place}`} aria-hidden="true">
              {side.name}
            </span>
          </div>
        );
      })}
      {layout === 'beside' && visible.length === 3 && (
        <p className="flat-hint">All three at one scale: move one and the others follow.</p>
      )}
      {layout === 'wipe' && (
        <Divider share={share} onShare={setShare} names={[sides[0]?.name ?? '', sides[over]?.name ?? '']} />
      )}
      {layout === 'wipe' && sides.length > 2 && (
        <fieldset className="stage-zoom flat-over">
          <legend className="visually-hidden">Which one lies over {sides[0]?.name}</legend>
          {sides.slice(1).map(({ side, name }, i) => (
            <button
              key={side.key}
              type="button"
              aria-pressed={over === i + 1}
              onClick={() => props.onOver(i + 1)}
            >
              {name}
            </button>
          ))}
        </fieldset>
      )}
      <Zoom view={view} onFit={showWindows} />
    </div>
  );
};
