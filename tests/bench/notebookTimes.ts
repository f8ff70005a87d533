import type { Page } from 'playwright-core';

/** Notes in the page, from its very start, when the first lines of the list are painted and when all swatches are read. */
export const watchOpening = (): void => {
  const times: { first?: number; all?: number } = {};
  Object.assign(globalThis, { openingTimes: times });
  const look = (): void => {
    const list = document.querySelector('.windowed li');
    const reading = document.querySelector('.notebook-count')?.textContent?.includes('Reading on');
    if (list && times.first === undefined)
      requestAnimationFrame(() => {
        times.first ??= performance.now();
      });
    if (list && reading === false && times.all === undefined)
      requestAnimationFrame(() => {
        times.all ??= performance.now();
      });
    if (times.first === undefined || times.all === undefined) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
};

/** How long the opening took, ms since the page was asked for. */
export const openingTimes = async (page: Page): Promise<{ first: number; all: number }> => {
  await page.waitForFunction(
    () => (globalThis as { openingTimes?: { all?: number } }).openingTimes?.all !== undefined,
    undefined,
    { timeout: 120_000 },
  );
  return page.evaluate(
    () => (globalThis as unknown as { openingTimes: { first: number; all: number } }).openingTimes,
  );
};

/** Types each of these texts into a field as one change and takes the time until its effect is painted, ms. */
export const typingTimes = (page: Page, selector: string, texts: readonly string[]): Promise<number[]> =>
  page.evaluate(
    async ({ selector, texts }) => {
      const field = document.querySelector<HTMLInputElement>(selector);
      const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set;
      if (!field || !set) throw new Error(`There is no field ${selector}.`);
      const painted = (): Promise<void> =>
        new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
      const times: number[] = [];
      for (const text of texts) {
        await painted();
        const begun = performance.now();
        set.call(field, text);
        field.dispatchEvent(new Event('input', { bubbles: true }));
        await painted();
        times.push(performance.now() - begun);
      }
      return times;
    },
    { selector, texts },
  );

/** Scrolls down the list by so many px a frame and gives the time that each frame took, ms. */
export const scrollTimes = (page: Page, frames: number, stepPx: number): Promise<number[]> =>
  page.evaluate(
    async ({ frames, stepPx }) => {
      const list = document.querySelector('.windowed');
      if (!list) throw new Error('There is no list.');
      const times: number[] = [];
      let last = performance.now();
      for (let i = 0; i < frames; i += 1) {
        list.scrollTop += stepPx;
        await new Promise((done) => requestAnimationFrame(done));
        const now = performance.now();
        times.push(now - last);
        last = now;
      }
      list.scrollTop = 0;
      return times;
    },
    { frames, stepPx },
  );
