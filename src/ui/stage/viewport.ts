import { type PhotoPoint, type PointIn, photoPoint } from '../../domain/coordinates';

/** A point on the stage in CSS px, origin at the stage's top-left corner. */
export type StagePoint = PointIn<'stage'>;

/** Makes a point of the stage from CSS px. */
export const stagePoint = (x: number, y: number): StagePoint => ({ x, y }) as unknown as StagePoint;

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Where the photo lies on the stage: a photo point p is drawn at (x + scale·p.x, y + scale·p.y), in CSS px. */
export interface Viewport {
  readonly scale: number;
  readonly x: number;
  readonly y: number;
}

/** Everything the reducer needs to know to move the photo: the view, both sizes (CSS px, photo px), fingers down. */
export interface ViewState {
  readonly view: Viewport;
  readonly stage: Size;
  readonly photo: Size;
  readonly fingers: readonly { readonly id: number; readonly x: number; readonly y: number }[];
  /** True once the user moved the photo; until then it stays fitted when the stage changes size. */
  readonly moved: boolean;
}

/** One sample of input, already in stage coordinates (CSS px). */
export type ViewSample =
  | { readonly kind: 'down'; readonly id: number; readonly x: number; readonly y: number }
  /** `pans`: a single finger may drag the photo (it does not when a tool holds it). */
  | {
      readonly kind: 'move';
      readonly id: number;
      readonly x: number;
      readonly y: number;
      readonly pans: boolean;
    }
  | { readonly kind: 'up'; readonly id: number }
  /** Wheel or trackpad: `zoom` when it is a pinch or a mouse wheel, otherwise a two-finger pan. */
  | {
      readonly kind: 'wheel';
      readonly x: number;
      readonly y: number;
      readonly dx: number;
      readonly dy: number;
      readonly zoom: boolean;
    }
  | { readonly kind: 'zoomBy'; readonly factor: number }
  | { readonly kind: 'panBy'; readonly dx: number; readonly dy: number }
  | { readonly kind: 'resize'; readonly stage: Size }
  | { readonly kind: 'photo'; readonly photo: Size }
  /** Shows these photo points as large as they fit; the whole photo when there are none. */
  | { readonly kind: 'fit'; readonly points: readonly PhotoPoint[] }
  /** Brings a photo point into sight without changing the scale. */
  | { readonly kind: 'reveal'; readonly point: PhotoPoint };

/** Screen px per photo px never goes beyond this: one photo pixel as a square of 12 CSS px. */
const MAX_SCALE = 12;
/** CSS px that stay free on every side of what is fitted, for handles and numbers; less on a very small stage. */
const FIT_MARGIN = 34;
/** Further CSS px at the bottom, where the zoom buttons float. */
const FIT_BOTTOM = 52;
/** At least this many CSS px of the photo stay on the stage. */
const KEEP_IN_SIGHT = 64;
/** Distance from the stage's edge inside which a point counts as out of sight, CSS px. */
const REVEAL_MARGIN = 56;

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));

/** A view of nothing yet, for stage and photo of the given sizes. */
export const initialView = (stage: Size, photo: Size): ViewState =>
  reduceView(
    { view: { scale: 1, x: 0, y: 0 }, stage, photo, fingers: [], moved: false },
    { kind: 'fit', points: [] },
  );

/** Where a photo point is drawn on the stage, CSS px. */
export const toStage = (view: Viewport, p: PhotoPoint): StagePoint =>
  stagePoint(view.x + view.scale * p.x, view.y + view.scale * p.y);

/** Which photo point lies under a place on the stage. */
export const toPhotoPoint = (view: Viewport, p: { readonly x: number; readonly y: number }): PhotoPoint =>
  photoPoint((p.x - view.x) / view.scale, (p.y - view.y) / view.scale);

const fitScale = (stage: Size, photo: Size): number =>
  Math.max(1e-6, Math.min(stage.width / Math.max(1, photo.width), stage.height / Math.max(1, photo.height)));

const kept = (state: ViewState, view: Viewport): ViewState => {
  const scale = clamp(view.scale, fitScale(state.stage, state.photo) * 0.5, MAX_SCALE);
  const width = state.photo.width * scale;
  const height = state.photo.height * scale;
  const x = clamp(view.x, KEEP_IN_SIGHT - width, state.stage.width - KEEP_IN_SIGHT);
  const y = clamp(view.y, KEEP_IN_SIGHT - height, state.stage.height - KEEP_IN_SIGHT);
  return { ...state, view: { scale, x, y } };
};

const zoomedAbout = (state: ViewState, factor: number, x: number, y: number): ViewState => {
  const low = fitScale(state.stage, state.photo) * 0.5;
  const scale = clamp(state.view.scale * factor, low, MAX_SCALE);
  const ratio = scale / state.view.scale;
  return {
    ...kept(state, { scale, x: x - (x - state.view.x) * ratio, y: y - (y - state.view.y) * ratio }),
    moved: true,
  };
};

const fitted = (state: ViewState, points: readonly PhotoPoint[]): ViewState => {
  const xs = points.length > 0 ? points.map((p) => p.x) : [0, state.photo.width];
  const ys = points.length > 0 ? points.map((p) => p.y) : [0, state.photo.height];
  const left = Math.min(...xs);
  const top = Math.min(...ys);
  const width = Math.max(1, Math.max(...xs) - left);
  const height = Math.max(1, Math.max(...ys) - top);
  const room = (size: number): number => size - 2 * Math.min(FIT_MARGIN, size / 8);
  const bottom = Math.min(FIT_BOTTOM, state.stage.height / 7);
  const tall = state.stage.height - bottom;
  const scale = Math.min(MAX_SCALE, room(state.stage.width) / width, room(tall) / height);
  const x = state.stage.width / 2 - scale * (left + width / 2);
  const y = tall / 2 - scale * (top + height / 2);
  return { ...kept(state, { scale: Math.max(scale, 1e-6), x, y }), moved: points.length > 0 };
};

const movedFinger = (state: ViewState, sample: Extract<ViewSample, { kind: 'move' }>): ViewState => {
  const before = state.fingers.find((f) => f.id === sample.id);
  if (!before) return state;
  const fingers = state.fingers.map((f) => (f.id === sample.id ? { ...f, x: sample.x, y: sample.y } : f));
  const next = { ...state, fingers };
  const [a, b] = state.fingers;
  if (!b || !a) {
    if (!sample.pans) return next;
    const { view } = state;
    return {
      ...kept(next, { ...view, x: view.x + sample.x - before.x, y: view.y + sample.y - before.y }),
      moved: true,
    };
  }
  const [c, d] = fingers;
  if (!c || !d) return next;
  // Two fingers carry the photo point between them along and scale by how far they spread.
  const spread = Math.hypot(d.x - c.x, d.y - c.y) / Math.max(1, Math.hypot(b.x - a.x, b.y - a.y));
  const was = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const now = { x: (c.x + d.x) / 2, y: (c.y + d.y) / 2 };
  const carried = {
    ...next,
    view: { ...state.view, x: state.view.x + now.x - was.x, y: state.view.y + now.y - was.y },
  };
  return zoomedAbout(carried, spread, now.x, now.y);
};

const revealed = (state: ViewState, point: PhotoPoint): ViewState => {
  const at = toStage(state.view, point);
  const pull = (value: number, size: number): number => {
    const margin = Math.min(REVEAL_MARGIN, size / 3);
    return clamp(value, margin, size - margin) - value;
  };
  const dx = pull(at.x, state.stage.width);
  const dy = pull(at.y, state.stage.height);
  if (dx === 0 && dy === 0) return state;
  return {
    ...kept(state, { ...state.view, x: state.view.x + dx, y: state.view.y + dy }),
    moved: true,
  };
};

/** The one place where the view changes: state and one sample of input in, new state out. Pure. */
export const reduceView = (state: ViewState, sample: ViewSample): ViewState => {
  switch (sample.kind) {
    case 'down':
      return {
        ...state,
        fingers: [
          ...state.fingers.filter((f) => f.id !== sample.id),
          { id: sample.id, x: sample.x, y: sample.y },
        ],
      };
    case 'move':
      return movedFinger(state, sample);
    case 'up':
      return { ...state, fingers: state.fingers.filter((f) => f.id !== sample.id) };
    case 'wheel':
      return sample.zoom
        ? zoomedAbout(state, Math.exp(-clamp(sample.dy, -120, 120) / 240), sample.x, sample.y)
        : {
            ...kept(state, { ...state.view, x: state.view.x - sample.dx, y: state.view.y - sample.dy }),
            moved: true,
          };
    case 'zoomBy':
      return zoomedAbout(state, sample.factor, state.stage.width / 2, state.stage.height / 2);
    case 'panBy':
      return {
        ...kept(state, { ...state.view, x: state.view.x + sample.dx, y: state.view.y + sample.dy }),
        moved: true,
      };
    case 'resize': {
      const centre = toPhotoPoint(state.view, { x: state.stage.width / 2, y: state.stage.height / 2 });
      const resized = { ...state, stage: sample.stage };
      if (!state.moved) return fitted(resized, []);
      const { scale } = state.view;
      return kept(resized, {
        scale,
        x: sample.stage.width / 2 - scale * centre.x,
        y: sample.stage.height / 2 - scale * centre.y,
      });
    }
    case 'photo':
      return fitted({ ...state, photo: sample.photo, fingers: [] }, []);
    case 'fit':
      return fitted(state, sample.points);
    case 'reveal':
      return revealed(state, sample.point);
  }
};
