/** How much room the browser gives the notebook, in bytes; null where the browser does not say. */
export interface Room {
  readonly usedBytes: number | null;
  readonly quotaBytes: number | null;
  /** True when the browser promised not to clear the notebook by itself. */
  readonly persisted: boolean;
}

/** Asks the browser to keep the notebook for good. @returns whether it promised to. */
export const askToPersist = async (): Promise<boolean> => {
  try {
    return (await navigator.storage?.persist?.()) ?? false;
  } catch {
    return false;
  }
};

/** Reads how much room is used and left. */
export const readRoom = async (): Promise<Room> => {
  try {
    const estimate = await navigator.storage?.estimate?.();
    const persisted = (await navigator.storage?.persisted?.()) ?? false;
    return { usedBytes: estimate?.usage ?? null, quotaBytes: estimate?.quota ?? null, persisted };
  } catch {
    return { usedBytes: null, quotaBytes: null, persisted: false };
  }
};
