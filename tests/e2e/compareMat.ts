import type { Page } from 'playwright-core';

/** What the pixels of a flat picture say about the mat in it. */
export interface MatSpacing {
  /** Distance square to the lines between neighbouring ones, half an inch on the mat, in units of the sheet (0.1 mm). */
  readonly halfInch: number;
  /** Lines that were found. */
  readonly lines: number;
}

/**
 * Measures the mat's upright lines above the swatch in a picture as it is shown: brightness along two levels, the middle of each bright
 * line by its weight, then the mean spacing, square to the lines. Nothing is taken from the app but the pixels that it shows and its ruler.
 */
export const matSpacing = async (page: Page, pane: string): Promise<MatSpacing> => {
  await page.locator(`[data-pane="${pane}"][data-settled="true"]`).waitFor();
  const { unitsPerPx, bands } = await page.evaluate((name) => {
    const shown = document.querySelector(`[data-pane="${name}"]`);
    const canvas = shown?.querySelector<HTMLCanvasElement>('canvas.flat-drawing');
    const cssPxPerInch = Number(shown?.querySelector('[data-step-px]')?.getAttribute('data-step-px'));
    if (!canvas || !(cssPxPerInch > 0)) throw new Error(`Picture ${name} is not drawn.`);
    const context = new OffscreenCanvas(canvas.width, canvas.height).getContext('2d');
    if (!context) throw new Error('This browser cannot read what is drawn.');
    context.drawImage(canvas, 0, 0);
    const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
    const cssPxPerPx = canvas.getBoundingClientRect().width / canvas.width;
    const rows = Math.floor(canvas.height / 2);
    const bands: number[][] = [];
    for (let y = 0; y < rows; y += 1) {
      const line: number[] = [];
      for (let x = 0; x < canvas.width; x += 1) line.push(data[(y * canvas.width + x) * 4] ?? 0);
      bands.push(line);
    }
    // An inch is 254 units.
    return { unitsPerPx: (254 / cssPxPerInch) * cssPxPerPx, bands };
  }, pane);
  return spacingIn(bands, unitsPerPx);
};

/** The spacing of the upright lines in rows of brightness. */
export const spacingIn = (bands: readonly (readonly number[])[], unitsPerPx: number): MatSpacing => {
  const level = bestLevel(bands, unitsPerPx);
  const upper = linesAt(bands, level - REACH);
  const lower = linesAt(bands, level + REACH);
  const pairs = upper.flatMap((x) => {
    const near = lower.find((other) => Math.abs(other - x) < REACH);
    return near === undefined ? [] : [{ middle: (x + near) / 2, slope: (near - x) / (2 * REACH) }];
  });
  const slope = pairs.reduce((sum, p) => sum + p.slope, 0) / pairs.length;
  const steps = pairs.slice(1).map((p, i) => p.middle - (pairs[i]?.middle ?? 0));
  const count = steps.reduce((sum, s) => sum + Math.round((s * unitsPerPx) / HALF_INCH), 0);
  const whole = (pairs.at(-1)?.middle ?? 0) - (pairs[0]?.middle ?? 0);
  return {
    halfInch: (whole / count) * Math.cos(Math.atan(slope)) * unitsPerPx,
    lines: pairs.length,
  };
};

/** Half an inch in units of the sheet, to tell how many lines lie between two that were found. */
const HALF_INCH = 127;
/** Pixels that are brighter than the mat's ground by this belong to a line. */
const BRIGHTER = 22;
const SMOOTH_ROWS = 3;
/** Rows from a level to the two at which its lines are looked for. */
const REACH = 14;

/** Half the width of the stretch whose median counts as the ground about a place, px: many times the width of a line. */
const ABOUT = 24;

const groundAt = (profile: readonly number[], x: number): number => {
  const about: number[] = [];
  for (let i = Math.max(0, x - ABOUT); i <= x + ABOUT; i += 4) about.push(profile[i] ?? 0);
  return about.sort((a, b) => a - b)[Math.floor(about.length / 2)] ?? 0;
};

/** Middles of the bright lines that cross a level, px. */
const linesAt = (bands: readonly (readonly number[])[], level: number): number[] => {
  const profile = (bands[0] ?? []).map((_, x) => {
    const column = Array.from(
      { length: 2 * SMOOTH_ROWS + 1 },
      (_, k) => bands[level - SMOOTH_ROWS + k]?.[x] ?? 0,
    );
    return column.reduce((a, b) => a + b, 0) / column.length;
  });
  const middles: number[] = [];
  let weight = 0;
  let moment = 0;
  let width = 0;
  profile.forEach((value, x) => {
    const over = value - groundAt(profile, x) - BRIGHTER;
    if (over > 0) {
      weight += over;
      moment += over * (x + 0.5);
      width += 1;
      return;
    }
    // Wider bright stretches are a crossing line, not an upright one.
    if (width > 0 && width < 14) middles.push(moment / weight);
    weight = 0;
    moment = 0;
    width = 0;
  });
  return middles;
};

/** Lines closer than this, in units of the sheet, are stitches: a mat of half inches has none. */
const CLOSEST = 100;

/** The level in the upper half of the picture at which most lines of the mat cross, and no stitches. */
const bestLevel = (bands: readonly (readonly number[])[], unitsPerPx: number): number => {
  const crossing = (level: number): number => {
    const middles = linesAt(bands, level);
    const apart = middles.slice(1).every((x, i) => (x - (middles[i] ?? 0)) * unitsPerPx > CLOSEST);
    return apart ? middles.length : 0;
  };
  let best = { level: 0, lines: 0 };
  for (let level = REACH + SMOOTH_ROWS; level < bands.length - REACH - SMOOTH_ROWS; level += 6) {
    const lines = Math.min(crossing(level - REACH), crossing(level + REACH));
    if (lines > best.lines) best = { level, lines };
  }
  return best.level;
};
