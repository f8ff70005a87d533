import {
  type GrowthSeeds,
  type MeasureHints,
  type ReferenceCorrection,
  type Stage,
  VisionFailure,
  type VisionReply,
  type VisionRequest,
  type VisionResults,
} from '../../workers/contract';
import { createBytesShelf } from './visionBytes';

/** Called while a request runs: which stage it is in and the share of the whole request that is done, 0 to 1. */
export type OnProgress = (stage: Stage, share: number) => void;

/** The part of a worker that the client uses; a real `Worker` fits. */
export type VisionWorker = Pick<Worker, 'postMessage' | 'terminate' | 'addEventListener'>;

export interface VisionClientOptions {
  readonly startWorker?: () => VisionWorker;
}

/**
 * Measures photos in a worker. Requests run one after the other in the order in which they were made.
 * Every method takes the signal that cancels it first and rejects only with a `VisionFailure`; a cancelled one with code `cancelled`.
 */
export interface VisionClient {
  /** Hands a photo over under a key of the caller's; the bytes stay the caller's and are not changed. */
  openPhoto(
    signal: AbortSignal,
    photoKey: string,
    bytes: ArrayBuffer,
    onProgress?: OnProgress,
  ): Promise<VisionResults['openPhoto']>;
  measure(
    signal: AbortSignal,
    photoKey: string,
    hints: MeasureHints,
    onProgress?: OnProgress,
  ): Promise<VisionResults['measure']>;
  findStitches(
    signal: AbortSignal,
    photoKey: string,
    hints: MeasureHints,
    onProgress?: OnProgress,
  ): Promise<VisionResults['findStitches']>;
  growStitches(
    signal: AbortSignal,
    photoKey: string,
    seeds: GrowthSeeds,
    onProgress?: OnProgress,
  ): Promise<VisionResults['growStitches']>;
  correctReference(
    signal: AbortSignal,
    photoKey: string,
    correction: ReferenceCorrection,
    onProgress?: OnProgress,
  ): Promise<VisionResults['correctReference']>;
  /** Starts the worker if none runs, so that the first request does not wait for it; resolves once OpenCV is loaded. */
  warmUp(): Promise<void>;
  /** Stops the worker and rejects everything that is pending with `cancelled`. */
  close(): void;
}

type WithoutId<T> = T extends unknown ? Omit<T, 'id'> : never;
type Result = VisionResults[keyof VisionResults];

interface Job {
  readonly request: WithoutId<VisionRequest>;
  readonly onProgress: OnProgress | undefined;
  readonly settle: (outcome: { result: Result } | { failure: VisionFailure }) => void;
  /** Whether the photo has already been handed to the worker again for this job. */
  reopened: boolean;
}

/** OpenCV's memory grows and never shrinks, so a worker that has done this many requests is replaced when it falls idle. */
const REQUESTS_PER_WORKER = 60;

const startVisionWorker = (): VisionWorker =>
  new Worker(new URL('../../workers/vision.worker.ts', import.meta.url), { type: 'module', name: 'vision' });

const cancelled = (): VisionFailure => new VisionFailure('cancelled', 'Cancelled.');
const workerFault = (detail: string): VisionFailure =>
  new VisionFailure(
    'visionUnavailable',
    `The part of the program that reads photos stopped (${detail}). Try again; if it happens again, load the page anew.`,
  );

/** One running worker and what the client knows of it. */
interface Running {
  readonly worker: VisionWorker;
  readonly ready: Promise<void>;
  requests: number;
}

/** Makes a client. The worker starts with the first request or with `warmUp`. */
export const createVisionClient = (options: VisionClientOptions = {}): VisionClient => {
  const startWorker = options.startWorker ?? startVisionWorker;
  const shelf = createBytesShelf();
  const waiting: Job[] = [];
  let running: Running | null = null;
  let current: { job: Job; id: number; reopening: boolean } | null = null;
  let lastId = 0;

  const stop = (): void => {
    running?.worker.terminate();
    running = null;
  };

  const crash = (failure: VisionFailure): void => {
    stop();
    const lost = [...(current ? [current.job] : []), ...waiting.splice(0)];
    current = null;
    for (const job of lost) job.settle({ failure });
  };

  const start = (): Running => {
    const worker = startWorker();
    let onReady: () => void = () => undefined;
    let onDead: (failure: VisionFailure) => void = () => undefined;
    const ready = new Promise<void>((resolve, reject) => {
      onReady = resolve;
      onDead = reject;
    });
    ready.catch(() => undefined);
    const started: Running = { worker, ready, requests: 0 };
    const die = (detail: string): void => {
      const failure = workerFault(detail);
      onDead(failure);
      if (running === started) crash(failure);
    };
    worker.addEventListener('message', (event: MessageEvent<VisionReply>) => {
      if (running !== started) return;
      if (event.data.kind === 'ready') onReady();
      else hear(event.data);
    });
    worker.addEventListener('error', (event: ErrorEvent) => die(event.message || 'it could not be started'));
    worker.addEventListener('messageerror', () => die('a message was damaged'));
    return started;
  };

  const ensure = (): Running => {
    running ??= start();
    return running;
  };

  const send = (request: WithoutId<VisionRequest>): number => {
    const to = ensure();
    lastId += 1;
    to.requests += 1;
    if (request.kind === 'openPhoto') {
      const bytes = request.bytes.slice(0);
      to.worker.postMessage({ ...request, id: lastId, bytes }, [bytes]);
    } else {
      to.worker.postMessage({ ...request, id: lastId });
    }
    return lastId;
  };

  const next = (): void => {
    if (current) return;
    const job = waiting.shift();
    if (job) {
      current = { job, id: send(job.request), reopening: false };
    } else if (running && running.requests >= REQUESTS_PER_WORKER) {
      stop();
      ensure();
    }
  };

  const finish = (job: Job, outcome: Parameters<Job['settle']>[0]): void => {
    current = null;
    job.settle(outcome);
    next();
  };

  /** A fresh worker does not know the photo of a request: hand it over again, once, then repeat the request. */
  const reopen = (job: Job): boolean => {
    if (job.reopened || job.request.kind === 'openPhoto') return false;
    const bytes = shelf.get(job.request.photoKey);
    if (!bytes) return false;
    job.reopened = true;
    const id = send({ kind: 'openPhoto', photoKey: job.request.photoKey, bytes });
    current = { job, id, reopening: true };
    return true;
  };

  const hear = (reply: Exclude<VisionReply, { kind: 'ready' }>): void => {
    if (!current || reply.id !== current.id) return;
    const { job, reopening } = current;
    if (reply.kind === 'progress') {
      job.onProgress?.(reply.stage, reopening ? 0 : reply.share);
    } else if (reply.kind === 'result') {
      if (reopening) current = { job, id: send(job.request), reopening: false };
      else finish(job, { result: reply.result });
    } else {
      if (reply.code === 'photoNotOpen' && reopen(job)) return;
      if (reply.code === 'outOfMemory') stop();
      finish(job, { failure: new VisionFailure(reply.code, reply.sentence) });
    }
  };

  const cancel = (job: Job): void => {
    const place = waiting.indexOf(job);
    if (place >= 0) {
      waiting.splice(place, 1);
      job.settle({ failure: cancelled() });
    } else if (current?.job === job) {
      stop();
      ensure();
      finish(job, { failure: cancelled() });
    }
  };

  const ask = <K extends VisionRequest['kind']>(
    signal: AbortSignal,
    request: WithoutId<Extract<VisionRequest, { kind: K }>>,
    onProgress?: OnProgress,
  ): Promise<VisionResults[K]> =>
    new Promise((resolve, reject) => {
      if (signal.aborted) {
        reject(cancelled());
        return;
      }
      const onAbort = (): void => cancel(job);
      const job: Job = {
        request: request as WithoutId<VisionRequest>,
        onProgress,
        reopened: false,
        settle: (outcome) => {
          signal.removeEventListener('abort', onAbort);
          // The worker answers each kind of request with its own kind of result: that is the contract.
          if ('result' in outcome) resolve(outcome.result as VisionResults[K]);
          else reject(outcome.failure);
        },
      };
      signal.addEventListener('abort', onAbort);
      waiting.push(job);
      next();
    });

  return {
    openPhoto: (signal, photoKey, bytes, onProgress) => {
      if (!signal.aborted) shelf.put(photoKey, bytes);
      return ask<'openPhoto'>(signal, { kind: 'openPhoto', photoKey, bytes }, onProgress);
    },
    measure: (signal, photoKey, hints, onProgress) =>
      ask<'measure'>(signal, { kind: 'measure', photoKey, hints }, onProgress),
    findStitches: (signal, photoKey, hints, onProgress) =>
      ask<'findStitches'>(signal, { kind: 'findStitches', photoKey, hints }, onProgress),
    growStitches: (signal, photoKey, seeds, onProgress) =>
      ask<'growStitches'>(signal, { kind: 'growStitches', photoKey, seeds }, onProgress),
    correctReference: (signal, photoKey, correction, onProgress) =>
      ask<'correctReference'>(signal, { kind: 'correctReference', photoKey, correction }, onProgress),
    warmUp: () => ensure().ready,
    close: () => {
      stop();
      crash(cancelled());
    },
  };
};
