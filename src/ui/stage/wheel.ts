import type { ViewSample } from './viewport';

/** The fields of a wheel event that matter, so that the rule can be tested without a page. */
export interface WheelInput {
  readonly deltaX: number;
  readonly deltaY: number;
  /** 0: px, 1: lines, 2: pages, as in the UI Events standard. */
  readonly deltaMode: number;
  readonly ctrlKey: boolean;
  readonly shiftKey: boolean;
}

const PX_PER_LINE = 16;
const PX_PER_PAGE = 400;
/** One notch of a mouse wheel is at least this many px in every browser; a trackpad starts far below. */
const NOTCH_PX = 50;

/**
 * A wheel event as a sample for the view. Browsers report a trackpad pinch as a wheel with Ctrl; a mouse wheel turns in whole
 * notches along one axis and zooms too; anything finer is two fingers panning.
 */
export const wheelSample = (input: WheelInput, x: number, y: number): ViewSample => {
  const unit = input.deltaMode === 1 ? PX_PER_LINE : input.deltaMode === 2 ? PX_PER_PAGE : 1;
  const dx = input.deltaX * unit;
  const dy = input.deltaY * unit;
  const notch = input.deltaMode !== 0 || (dx === 0 && Number.isInteger(dy) && Math.abs(dy) >= NOTCH_PX);
  if (input.shiftKey) return { kind: 'wheel', x, y, dx: dx || dy, dy: dx ? dy : 0, zoom: false };
  // A pinch comes in much smaller steps than a notch and wants to follow the fingers.
  if (input.ctrlKey) return { kind: 'wheel', x, y, dx: 0, dy: notch ? dy : dy * 3, zoom: true };
  return { kind: 'wheel', x, y, dx, dy, zoom: notch };
};
