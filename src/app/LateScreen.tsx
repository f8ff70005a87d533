import { type ComponentType, useEffect, useState } from 'react';

/** The files of a screen, which come when it is first wanted. */
export interface ScreenFiles {
  /** The screen, once its files are there. */
  readonly found: () => ComponentType | null;
  readonly load: () => Promise<ComponentType>;
}

/** Files that are asked for once; after a failure the next wish asks again. */
export const screenFiles = (load: () => Promise<{ readonly default: ComponentType }>): ScreenFiles => {
  let found: ComponentType | null = null;
  let loading: Promise<ComponentType> | null = null;
  const begin = async (): Promise<ComponentType> => {
    try {
      found = (await load()).default;
      return found;
    } catch (error) {
      loading = null;
      throw error;
    }
  };
  return {
    found: () => found,
    load: () => {
      loading ??= begin();
      return loading;
    },
  };
};

/**
 * A screen that comes as soon as it can be drawn. Suspense would load it as well, but once its "Opening…" shows it holds the screen
 * back for 300 ms, to spare the eye the change.
 */
export const LateScreen = ({ files }: { readonly files: ScreenFiles }) => {
  const [Screen, setScreen] = useState(() => files.found());
  const [failure, setFailure] = useState<{ readonly error: unknown } | null>(null);
  useEffect(() => {
    if (Screen) return;
    files.load().then(
      (found) => setScreen(() => found),
      (error: unknown) => setFailure({ error }),
    );
  }, [files, Screen]);
  if (failure) throw failure.error;
  return Screen ? (
    <Screen />
  ) : (
    <p className="page soft" role="status">
      Opening…
    </p>
  );
};
