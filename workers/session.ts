import type { PhotoFacts } from '../src/domain/measurement';
import {
  type Stage,
  type VisionErrorCode,
  VisionFailure,
  type VisionReply,
  type VisionRequest,
  type VisionResults,
} from './contract';
import { measure, measureStitches } from './measure';
import type { Decode } from './photo/decoded';
import { type OpenedPhoto, openPhoto } from './photo/openPhoto';
import { correctReference } from './scale/references';
import { growFromSeeds } from './stitches/findStitches';

/** Decoded photos kept at a time: the one that is measured and the one beside it. */
const OPEN_PHOTOS = 2;

/** What a session needs from the place it runs in. */
export interface SessionPorts {
  readonly decode: Decode;
  /** Resolves when OpenCV can be used; rejects when it cannot be had. */
  readonly ready: () => Promise<void>;
  readonly post: (reply: VisionReply) => void;
}

/** Photos by key, the least recently used one forgotten first. */
const createShelf = (): { get(key: string): OpenedPhoto; put(key: string, photo: OpenedPhoto): void } => {
  const photos = new Map<string, OpenedPhoto>();
  const put = (key: string, photo: OpenedPhoto): void => {
    photos.delete(key);
    photos.set(key, photo);
    const [oldest] = photos.keys();
    if (photos.size > OPEN_PHOTOS && oldest !== undefined) photos.delete(oldest);
  };
  const get = (key: string): OpenedPhoto => {
    const photo = photos.get(key);
    if (!photo) throw new VisionFailure('photoNotOpen', 'This photo is not open any more; choose it again.');
    put(key, photo);
    return photo;
  };
  return { get, put };
};

const outOfMemory =
  /out of memory|insufficient memory|allocation failed|bad_alloc|enlarge memory|invalid array (buffer )?length/i;

const failureOf = (cause: unknown): { code: VisionErrorCode; sentence: string } => {
  if (cause instanceof VisionFailure) return { code: cause.code, sentence: cause.message };
  const message = cause instanceof Error ? cause.message : String(cause);
  if (outOfMemory.test(message)) {
    return {
      code: 'outOfMemory',
      sentence:
        'There was not enough memory for this photo. Close other pages, or use a smaller copy of the photo.',
    };
  }
  return {
    code: 'internal',
    sentence: `This photo could not be measured because of a fault in the program (${message}).`,
  };
};

/** Handles that cannot be what they should be are the user's to mend: the RangeError carries her sentence. */
const refusing = <T>(correct: () => T): T => {
  try {
    return correct();
  } catch (cause) {
    if (cause instanceof RangeError && !outOfMemory.test(cause.message)) {
      throw new VisionFailure('correctionRefused', cause.message, { cause });
    }
    throw cause;
  }
};

/**
 * Answers requests one after the other: each gets progress messages and then exactly one result or failure.
 * The promise that a call returns ends when its reply has been posted; it never rejects.
 */
export const createSession = ({ decode, ready, post }: SessionPorts) => {
  const shelf = createShelf();

  const open = async (key: string, bytes: ArrayBuffer): Promise<PhotoFacts> => {
    const photo = await openPhoto(new Uint8Array(bytes), decode);
    shelf.put(key, photo);
    return photo.facts;
  };

  const run = async (request: VisionRequest): Promise<VisionResults[keyof VisionResults]> => {
    const onProgress = (stage: Stage, share: number): void =>
      post({ kind: 'progress', id: request.id, stage, share });
    if (request.kind === 'openPhoto') {
      onProgress('decode', 0);
      return open(request.photoKey, request.bytes);
    }
    const { work, facts } = shelf.get(request.photoKey);
    onProgress('load', 0);
    await ready();
    switch (request.kind) {
      case 'measure':
        return measure(work, facts, request.hints, onProgress);
      case 'findStitches':
        return measureStitches(work, facts, request.hints, onProgress);
      case 'growStitches':
        return growFromSeeds(work, request.seeds);
      case 'correctReference':
        return refusing(() => correctReference(work, facts, request.correction));
    }
  };

  const answer = async (request: VisionRequest): Promise<void> => {
    try {
      const result = await run(request);
      post({ kind: 'result', id: request.id, result });
    } catch (cause) {
      post({ kind: 'failure', id: request.id, ...failureOf(cause) });
    }
  };

  let last: Promise<void> = Promise.resolve();
  return {
    handle: (request: VisionRequest): Promise<void> => {
      last = last.then(() => answer(request));
      return last;
    },
  };
};
