import { type RefObject, useLayoutEffect } from 'react';
import type { SharedView } from './sharedView';

/** Along the sheet, or along one edge of the pane only. */
type Ways = 'both' | 'x' | 'y';

const moves: Readonly<Record<Ways, (x: number, y: number, scale: number) => string>> = {
  both: (x, y, scale) => `translate(${x}px, ${y}px) scale(${scale})`,
  x: (x, _, scale) => `translateX(${x}px) scaleX(${scale})`,
  y: (_, y, scale) => `translateY(${y}px) scaleY(${scale})`,
};

/** Moves what is drawn for the rested view along with the shown one: one transform a frame, and nothing is drawn. */
export const useFollowing = (
  view: SharedView,
  element: RefObject<(Element & ElementCSSInlineStyle) | null>,
  ways: Ways,
): void => {
  useLayoutEffect(() => {
    const target = element.current;
    if (!target) return;
    const follow = (): void => {
      const from = view.rested().view;
      const to = view.shown().view;
      const scale = to.scale / from.scale;
      target.style.transform = moves[ways](to.x - scale * from.x, to.y - scale * from.y, scale);
    };
    follow();
    const ends = [view.onFrame(follow), view.onRest(follow)];
    return () => {
      for (const end of ends) end();
    };
  }, [view, element, ways]);
};
