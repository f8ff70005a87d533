import cv from '@techstark/opencv-js';

export type Cv = typeof cv;
export type Mat = InstanceType<Cv['Mat']>;

/** Anything of OpenCV's that lives on its own heap and must be deleted by hand. */
interface Deletable {
  delete(): void;
}

/** Registers an object of OpenCV's with the enclosing scope and hands it back. */
export type Track = <T extends Deletable>(object: T) => T;

/**
 * Resolves once OpenCV can be used. The library itself is never passed through a promise: its object carries a
 * `then`, and awaiting it never ends.
 */
export const opencvReady = (): Promise<void> =>
  new Promise((resolve) => {
    if ('Mat' in cv && typeof cv.Mat === 'function') resolve();
    else cv.onRuntimeInitialized = () => resolve();
  });

/**
 * Runs `work` and afterwards deletes, in reverse order, everything it tracked, whether it returned or threw.
 * @throws Error with OpenCV's own message where OpenCV threw a bare pointer.
 */
export const scope = <T>(work: (track: Track, cv: Cv) => T): T => {
  const owned: Deletable[] = [];
  const track: Track = (object) => {
    owned.push(object);
    return object;
  };
  try {
    return work(track, cv);
  } catch (cause) {
    if (typeof cause === 'number') {
      throw new Error(`OpenCV: ${cv.exceptionFromPtr(cause).msg}`, { cause });
    }
    throw cause;
  } finally {
    for (const object of owned.reverse()) object.delete();
  }
};
