import {
  knitted,
  lying,
  mat,
  type Paint,
  photograph,
  plain,
  roundThing,
  ruler,
  type Scene,
  type SceneCamera,
  wood,
} from '../vision/scaleScenes';
import { printedSheet } from '../vision/sheetScenes';

const waleMm = 3.2;
/** Stitches to the inch of the drawn fabric (1 in = 25.4 mm). */
export const stitchesPerInch = 25.4 / waleMm;
const swatch = knitted(waleMm, 2.3, [210, 185, 140]);

const photoOf = (paint: Paint, change: Partial<SceneCamera> = {}): Scene =>
  photograph(
    {
      widthPx: 1000,
      heightPx: 800,
      focal35Mm: 27,
      tiltDeg: 6,
      leanDeg: 30,
      turnDeg: 4,
      distanceMm: 190,
      ...change,
    },
    paint,
  );

/** A swatch on a cutting mat in inches. */
export const onMat = (): Scene =>
  photoOf(
    lying(swatch, mat({ pitchMm: 25.4, divide: 2, ground: [38, 92, 112], line: [225, 228, 205] }), {
      x: 12,
      y: 8,
      widthMm: 90,
      heightMm: 80,
    }),
  );

/** A swatch below a steel ruler in sixteenths of an inch. */
export const withRuler = (): Scene =>
  photoOf(
    lying(
      ruler(25.4 / 16, 16, 150),
      lying(swatch, plain([70, 75, 82]), { x: 0, y: 25, widthMm: 90, heightMm: 76 }),
      {
        x: 0,
        y: -40,
        widthMm: 160,
        heightMm: 26,
      },
    ),
  );

/** A swatch beside a card of identification size: 85.60 mm × 53.98 mm (ISO/IEC 7810, ID-1). */
export const withCard = (): Scene =>
  photoOf(
    lying(plain([40, 52, 78]), lying(swatch, wood, { x: 38, y: 0, widthMm: 84, heightMm: 92 }), {
      x: -50,
      y: 0,
      widthMm: 85.6,
      heightMm: 53.98,
      turnDeg: 84,
      cornerMm: 3.18,
    }),
  );

/** A swatch on a sheet of A5: 148 mm × 210 mm (ISO 216). */
export const onPaper = (): Scene =>
  photoOf(
    lying(
      swatch,
      lying(plain([232, 231, 226]), wood, { x: 0, y: 0, widthMm: 210, heightMm: 148, turnDeg: 3 }),
      {
        x: 5,
        y: 4,
        widthMm: 96,
        heightMm: 84,
      },
    ),
    { distanceMm: 230 },
  );

/** A swatch beside a coin of 2 euro: 25.75 mm (European Central Bank, common sides of the coins). */
export const withCoin = (): Scene =>
  photoOf(
    roundThing(
      plain([175, 172, 160]),
      lying(swatch, wood, { x: -18, y: 0, widthMm: 96, heightMm: 92 }),
      55,
      -12,
      25.75,
    ),
    { tiltDeg: 0 },
  );

/** A swatch on the printed sheet; the printer made everything a hundredth smaller, so that its check rulers measure 138.6 mm. */
export const onSheet = (): Scene =>
  photoOf(
    lying(swatch, printedSheet(wood, { print: { across: 0.99, along: 0.99 } }), {
      x: 0,
      y: 4,
      widthMm: 105,
      heightMm: 130,
    }),
    { widthPx: 1040, heightPx: 1300, tiltDeg: 8, distanceMm: 290 },
  );

/** A swatch below a caliper that is opened to 50 mm: two jaws, their inner edges at x = ±25 mm about y = −66 mm. */
export const withCaliper = (): Scene => {
  const steel = plain([196, 199, 204]);
  const onTable = lying(swatch, wood, { x: 0, y: 18, widthMm: 110, heightMm: 110 });
  const left = lying(steel, onTable, { x: -31, y: -62, widthMm: 12, heightMm: 34 });
  return photoOf(lying(steel, left, { x: 31, y: -62, widthMm: 12, heightMm: 34 }), {
    widthPx: 960,
    heightPx: 1200,
    tiltDeg: 0,
    distanceMm: 220,
  });
};

/** A swatch on plain wood, with nothing of known length in the photo but the swatch itself: its middle at the table's origin, 96 mm wide. */
export const alone = (): Scene =>
  photoOf(lying(swatch, wood, { x: 0, y: 0, widthMm: 96, heightMm: 84 }), { tiltDeg: 0 });
