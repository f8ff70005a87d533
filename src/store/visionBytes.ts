/** Photos whose bytes are kept for a worker that has to be started anew: up to four are compared side by side. */
const KEPT_PHOTOS = 4;

/** The bytes of the photos used last, by key, so that they can be handed to a fresh worker. */
export const createBytesShelf = (): {
  get(key: string): ArrayBuffer | undefined;
  put(key: string, bytes: ArrayBuffer): void;
} => {
  const kept = new Map<string, ArrayBuffer>();
  const put = (key: string, bytes: ArrayBuffer): void => {
    kept.delete(key);
    kept.set(key, bytes);
    const [oldest] = kept.keys();
    if (kept.size > KEPT_PHOTOS && oldest !== undefined) kept.delete(oldest);
  };
  return {
    put,
    get: (key) => {
      const bytes = kept.get(key);
      if (bytes) put(key, bytes);
      return bytes;
    },
  };
};
