/** A part of a picture, px of the picture. */
export interface PicturePart {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A blank canvas for a part of a picture, and what draws on it in px of the whole picture. */
export interface ScaledCanvas {
  readonly canvas: HTMLCanvasElement;
  readonly context: CanvasRenderingContext2D;
  /** Px of the canvas to a px of the picture. */
  readonly scale: number;
}

/**
 * A blank canvas on which `part` of a picture fits with no side longer than `sidePx`.
 * @param wishes how many px of the canvas a px of the picture has at most (1), and whether its pixels will be read back (no).
 * @returns null when the browser gives no canvas.
 */
export const scaledCanvas = (
  part: PicturePart,
  sidePx: number,
  { mostScale = 1, isRead = false }: { readonly mostScale?: number; readonly isRead?: boolean } = {},
): ScaledCanvas | null => {
  const scale = Math.min(mostScale, sidePx / Math.max(part.width, part.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(part.width * scale));
  canvas.height = Math.max(1, Math.round(part.height * scale));
  const context = canvas.getContext('2d', { willReadFrequently: isRead });
  if (!context) return null;
  context.imageSmoothingQuality = 'high';
  context.setTransform(
    canvas.width / part.width,
    0,
    0,
    canvas.height / part.height,
    (-part.x * canvas.width) / part.width,
    (-part.y * canvas.height) / part.height,
  );
  return { canvas, context, scale };
};

/** The whole of a picture as a part of it. */
export const wholeOf = ({
  width,
  height,
}: {
  readonly width: number;
  readonly height: number;
}): PicturePart => ({ x: 0, y: 0, width, height });
