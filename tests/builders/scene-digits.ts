type Stroke = readonly (readonly [number, number])[];

const ring = (cx: number, cy: number, rx: number, ry: number, from = 0, to = 2): Stroke =>
  Array.from({ length: 15 }, (_, i) => {
    const a = Math.PI * (from + ((to - from) * i) / 14);
    return [cx + rx * Math.cos(a), cy + ry * Math.sin(a)] as const;
  });

/** Strokes of the ten digits in a box 0.6 wide and 1 high, y downward. */
const DIGITS: readonly (readonly Stroke[])[] = [
  [ring(0.3, 0.5, 0.25, 0.45)],
  [
    [
      [0.12, 0.22],
      [0.34, 0.05],
      [0.34, 0.95],
    ],
  ],
  [[...ring(0.3, 0.3, 0.24, 0.25, -1, 0.18), [0.06, 0.95], [0.55, 0.95]]],
  [ring(0.28, 0.28, 0.22, 0.23, -0.9, 0.5), ring(0.28, 0.72, 0.25, 0.23, -0.5, 0.9)],
  [
    [
      [0.42, 0.95],
      [0.42, 0.05],
      [0.05, 0.68],
      [0.57, 0.68],
    ],
  ],
  [
    [
      [0.52, 0.05],
      [0.12, 0.05],
      [0.09, 0.45],
    ],
    ring(0.28, 0.66, 0.25, 0.29, -0.75, 0.85),
  ],
  [
    ring(0.3, 0.68, 0.24, 0.27),
    [
      [0.45, 0.05],
      [0.12, 0.45],
      [0.06, 0.66],
    ],
  ],
  [
    [
      [0.05, 0.05],
      [0.55, 0.05],
      [0.22, 0.95],
    ],
  ],
  [ring(0.3, 0.28, 0.2, 0.23), ring(0.3, 0.73, 0.25, 0.23)],
  [
    ring(0.3, 0.32, 0.24, 0.27),
    [
      [0.54, 0.34],
      [0.48, 0.6],
      [0.2, 0.95],
    ],
  ],
];

const toStroke = (x: number, y: number, stroke: Stroke): number => {
  let best = Infinity;
  for (let i = 1; i < stroke.length; i++) {
    const [ax, ay] = stroke[i - 1] as readonly [number, number];
    const [bx, by] = stroke[i] as readonly [number, number];
    const vx = bx - ax;
    const vy = by - ay;
    const t = Math.max(0, Math.min(1, ((x - ax) * vx + (y - ay) * vy) / (vx * vx + vy * vy)));
    best = Math.min(best, (x - ax - t * vx) ** 2 + (y - ay - t * vy) ** 2);
  }
  return Math.sqrt(best);
};

/**
 * Share of a spot that the printed whole number covers: the number's top left corner is at (0, 0), its height `heightMm`; (x, y) and
 * `spotMm` in mm. Only up to three digits are printed.
 */
export const digitCover = (
  number: number,
  x: number,
  y: number,
  heightMm: number,
  spotMm: number,
): number => {
  const u = x / heightMm;
  const v = y / heightMm;
  if (number < 0 || v < -0.1 || v > 1.1 || u < -0.1 || u > 2.3) return 0;
  const text = String(number);
  const place = Math.max(0, Math.min(text.length - 1, Math.floor(u / 0.75)));
  const strokes = DIGITS[Number(text[place])];
  if (strokes === undefined) return 0;
  const d = Math.min(...strokes.map((stroke) => toStroke(u - place * 0.75, v, stroke))) * heightMm;
  const inside = (0.06 * heightMm + spotMm / 2 - d) / spotMm;
  return Math.max(0, Math.min(1, inside));
};
