/** How light the app looks: as the system says, or as the user chose. */
export type ThemeChoice = 'system' | 'light' | 'dark';

const KEY = 'walewright.theme';

/** What the user chose on this device; `system` when she never did or the browser keeps nothing. */
export const storedTheme = (): ThemeChoice => {
  try {
    const value = localStorage.getItem(KEY);
    return value === 'light' || value === 'dark' ? value : 'system';
  } catch {
    return 'system';
  }
};

/** Puts the choice into force and remembers it on this device. */
export const applyTheme = (choice: ThemeChoice): void => {
  if (choice === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = choice;
  try {
    if (choice === 'system') localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, choice);
  } catch {
    // A browser that keeps nothing still shows the chosen theme until the page closes.
  }
};
