import type { Page } from 'playwright-core';

/** A place on the screen, CSS px of the page. */
export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** Where the numbers beside the counted window stand, by number; columns along the top, rows along the left. */
const numberSpots = async (page: Page, family: 'wale' | 'course'): Promise<Map<number, Spot>> => {
  const texts = page.locator(`[data-testid="numbers-${family}"] text`);
  await texts.first().waitFor();
  const entries = await texts.evaluateAll((elements) =>
    elements.map((element) => {
      const box = element.getBoundingClientRect();
      return { number: Number(element.textContent), x: box.x + box.width / 2, y: box.y + box.height / 2 };
    }),
  );
  return new Map(entries.map(({ number, x, y }) => [number, { x, y }]));
};

/** How many columns or rows the panel says are in the window. */
export const shownCount = async (page: Page, noun: 'columns' | 'rows'): Promise<number> => {
  const text = await page.getByRole('button', { name: new RegExp(`^\\d+ ${noun}$`) }).textContent();
  return Number.parseInt(text ?? '', 10);
};

/**
 * A spot on the photo that lies `share` of the way from column `from` to column `to`, just inside the window's upper edge, where
 * a column has hardly moved away from its number.
 */
export const spotBetweenColumns = async (
  page: Page,
  from: number,
  to: number,
  share: number,
): Promise<Spot> => {
  const spots = await numberSpots(page, 'wale');
  const a = spots.get(from);
  const b = spots.get(to);
  if (!a || !b) throw new Error(`Columns ${from} and ${to} carry no number on screen.`);
  return { x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share + 36 };
};

/** Where a place of the photo (px) lies on the page. */
export const onStage = async (page: Page, place: Spot): Promise<Spot> => {
  const stage = page.locator('[data-view]');
  const [scale = 1, x = 0, y = 0] = ((await stage.getAttribute('data-view')) ?? '').split(' ').map(Number);
  const box = await stage.boundingBox();
  if (!box) throw new Error('There is no photo on screen.');
  return { x: box.x + x + scale * place.x, y: box.y + y + scale * place.y };
};
