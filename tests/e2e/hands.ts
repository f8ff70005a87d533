import type { Locator, Page } from 'playwright-core';

export interface PickedFile {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}

/** One way of working the page: by mouse, by finger, or by keys alone. */
export interface Hands {
  /** Presses a button, a link, a box to tick or one of several to choose. */
  readonly press: (target: Locator) => Promise<void>;
  /** Puts a text in place of what stands in a field. */
  readonly type: (target: Locator, text: string) => Promise<void>;
  /** Chooses an entry of a list by its words. */
  readonly choose: (target: Locator, words: string) => Promise<void>;
  /** Opens a file picker and takes this file. */
  readonly bring: (picker: Locator, file: PickedFile) => Promise<void>;
}

/** Keeps hold of file pickers from now on: caught only while one is awaited, one that opens at once can slip through. */
const catchPickers = (page: Page): void => {
  page.on('filechooser', () => undefined);
};

const takeFile = async (page: Page, file: PickedFile, open: () => Promise<void>): Promise<void> => {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), open()]);
  await chooser.setFiles({ ...file });
};

/** The label that stands for a field which is itself hidden from sight. */
const labelOf = async (page: Page, field: Locator): Promise<Locator> =>
  page.locator(`label[for="${await field.getAttribute('id')}"]`);

const byPointer = (page: Page, press: (target: Locator) => Promise<void>): Hands => {
  catchPickers(page);
  return {
    press,
    type: async (target, text) => {
      await press(target);
      await target.fill(text);
    },
    choose: async (target, words) => {
      await target.selectOption({ label: words });
    },
    bring: (picker, file) => takeFile(page, file, async () => press(await labelOf(page, picker))),
  };
};

export const mouse = (page: Page): Hands => byPointer(page, (target) => target.click());
export const finger = (page: Page): Hands => byPointer(page, (target) => target.tap());

const MOST_TABS = 150;

/** Moves on with Tab until the thing has the keyboard, as far round the page as it takes. */
export const tabOnTo = async (page: Page, target: Locator): Promise<void> => {
  await target.waitFor({ state: 'attached' });
  for (let presses = 0; presses <= MOST_TABS; presses += 1) {
    if (await target.evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab never reaches ${target}.`);
};

/** Keys alone: nothing is focused or changed but by what a keyboard sends. */
export const keyboard = (page: Page): Hands => {
  catchPickers(page);
  const reach = (target: Locator): Promise<void> => tabOnTo(page, target);
  const isTicked = (target: Locator): Promise<boolean> =>
    target.evaluate((element) => element instanceof HTMLInputElement && element.type !== 'file');
  return {
    press: async (target) => {
      await reach(target);
      await page.keyboard.press((await isTicked(target)) ? 'Space' : 'Enter');
    },
    type: async (target, text) => {
      await reach(target);
      await page.keyboard.press('Control+a');
      await page.keyboard.type(text);
    },
    choose: async (target, words) => {
      await reach(target);
      await page.keyboard.press('Home');
      const chosen = (): Promise<string | undefined> =>
        target.evaluate((list) => (list as HTMLSelectElement).selectedOptions[0]?.textContent?.trim());
      for (let steps = 0; (await chosen()) !== words; steps += 1) {
        if (steps > MOST_TABS) throw new Error(`The list has no "${words}".`);
        await page.keyboard.press('ArrowDown');
      }
    },
    bring: async (picker, file) => {
      await reach(picker);
      await takeFile(page, file, () => page.keyboard.press('Enter'));
    },
  };
};
