import { useLayoutEffect, useRef } from 'react';
import type { PhotoPoint } from '../../domain/coordinates';
import type { Painter } from './painter';
import { type Size, toStage, type Viewport } from './viewport';

/** Diameter of the glass, CSS px. */
const SIZE = 136;
/** The glass enlarges what the stage shows by this much. */
const POWER = 2.4;
/** Distance of the glass's centre from the finger, CSS px: far enough that a thumb does not cover it. */
const OFFSET = 118;

interface Props {
  readonly at: PhotoPoint;
  readonly view: Viewport;
  readonly stage: Size;
  readonly image: HTMLImageElement | null;
  readonly paint: Painter;
}

/** Centre of the glass on the stage: above the finger, or beside it where there is no room above. */
const placeGlass = (finger: { x: number; y: number }, stage: Size): { x: number; y: number } => {
  const half = SIZE / 2;
  const inside = (value: number, size: number): number =>
    Math.min(size - half - 4, Math.max(half + 4, value));
  if (finger.y - OFFSET - half > 0) return { x: inside(finger.x, stage.width), y: finger.y - OFFSET };
  const side = finger.x > stage.width / 2 ? -1 : 1;
  return { x: inside(finger.x + side * OFFSET, stage.width), y: inside(finger.y, stage.height) };
};

/** A magnifying glass beside the finger: the photo and the lines under it, with a cross where the finger points. */
export const Loupe = ({ at, view, stage, image, paint }: Props) => {
  const canvas = useRef<HTMLCanvasElement>(null);
  const centre = placeGlass(toStage(view, at), stage);

  useLayoutEffect(() => {
    const element = canvas.current;
    const context = element?.getContext('2d');
    if (!element || !context) return;
    const density = Math.min(2, window.devicePixelRatio || 1);
    element.width = SIZE * density;
    element.height = SIZE * density;
    const scale = Math.max(view.scale * POWER, 0.5);
    const glass: Viewport = { scale, x: SIZE / 2 - scale * at.x, y: SIZE / 2 - scale * at.y };
    context.fillStyle = '#14181b';
    context.fillRect(0, 0, element.width, element.height);
    context.setTransform(density * scale, 0, 0, density * scale, density * glass.x, density * glass.y);
    if (image?.complete && image.naturalWidth > 0) context.drawImage(image, 0, 0);
    paint(context, glass, density);
    context.setTransform(density, 0, 0, density, 0, 0);
    for (const [width, colour] of [
      [3, 'rgb(14 17 20 / 70%)'],
      [1.2, '#ffffff'],
    ] as const) {
      context.lineWidth = width;
      context.strokeStyle = colour;
      context.beginPath();
      for (const [dx, dy] of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ] as const) {
        context.moveTo(SIZE / 2 + dx * 5, SIZE / 2 + dy * 5);
        context.lineTo(SIZE / 2 + dx * 22, SIZE / 2 + dy * 22);
      }
      context.stroke();
    }
  });

  return (
    <canvas
      ref={canvas}
      className="loupe"
      data-testid="loupe"
      style={{ width: SIZE, height: SIZE, left: centre.x - SIZE / 2, top: centre.y - SIZE / 2 }}
    />
  );
};
