import { describe, expect, it } from 'vitest';
import { createVisionClient, type VisionWorker } from '../../src/store/visionClient';
import {
  type MeasureHints,
  VisionFailure,
  type VisionReply,
  type VisionRequest,
} from '../../workers/contract';

const hints: MeasureHints = { gridPitchMm: null, reference: 'auto', region: null, thicknessMm: null };
const facts = { widthPx: 1, heightPx: 1, mime: '', takenAt: null, focalLength35Mm: null, remarks: [] };
const going = (): AbortSignal => new AbortController().signal;

/** A worker that plays a script: what it answers to each request. */
class ScriptedWorker extends EventTarget implements VisionWorker {
  readonly heard: VisionRequest[] = [];
  terminated = false;
  readonly #answer: (request: VisionRequest, worker: ScriptedWorker) => void;

  constructor(answer: (request: VisionRequest, worker: ScriptedWorker) => void) {
    super();
    this.#answer = answer;
  }
  postMessage(request: VisionRequest): void {
    this.heard.push(request);
    queueMicrotask(() => this.#answer(request, this));
  }
  terminate(): void {
    this.terminated = true;
  }
  reply(data: VisionReply): void {
    if (!this.terminated) this.dispatchEvent(new MessageEvent('message', { data }));
  }
}

const scripted = (answer: (request: VisionRequest, worker: ScriptedWorker) => void) => {
  const workers: ScriptedWorker[] = [];
  const client = createVisionClient({
    startWorker: () => {
      const worker = new ScriptedWorker(answer);
      workers.push(worker);
      return worker;
    },
  });
  return { client, workers };
};

const codeOf = (promise: Promise<unknown>): Promise<string> =>
  promise.then(
    () => 'no failure',
    (cause: unknown) => (cause instanceof VisionFailure ? cause.code : String(cause)),
  );

describe('the vision client when its worker fails', () => {
  for (const event of ['error', 'messageerror']) {
    it(`rejects everything that is pending on ${event} and starts anew for the next request`, async () => {
      let failing = true;
      const { client, workers } = scripted((request, worker) => {
        if (failing) worker.dispatchEvent(new Event(event));
        else worker.reply({ kind: 'result', id: request.id, result: facts });
      });
      const pending = [1, 2, 3].map((n) => codeOf(client.openPhoto(going(), `${n}`, new ArrayBuffer(8))));
      expect(await Promise.all(pending)).toEqual(Array(3).fill('visionUnavailable'));
      expect(workers[0]!.terminated).toBe(true);
      failing = false;
      expect(await client.openPhoto(going(), '4', new ArrayBuffer(8))).toEqual(facts);
      expect(workers).toHaveLength(2);
    });
  }

  it('replaces the worker after it ran out of memory, and hands the photo over again', async () => {
    const { client, workers } = scripted((request, worker) => {
      const first = workers[0] === worker;
      if (request.kind === 'openPhoto') worker.reply({ kind: 'result', id: request.id, result: facts });
      else if (first)
        worker.reply({ kind: 'failure', id: request.id, code: 'outOfMemory', sentence: 'Full.' });
      else if (worker.heard.some(({ kind }) => kind === 'openPhoto')) {
        worker.reply({ kind: 'result', id: request.id, result: facts });
      } else worker.reply({ kind: 'failure', id: request.id, code: 'photoNotOpen', sentence: 'Gone.' });
    });
    await client.openPhoto(going(), 'a', new ArrayBuffer(8));
    expect(await codeOf(client.measure(going(), 'a', hints))).toBe('outOfMemory');
    expect(await codeOf(client.measure(going(), 'a', hints))).toBe('no failure');
    expect(workers[1]!.heard.map(({ kind }) => kind)).toEqual(['measure', 'openPhoto', 'measure']);
  });

  it('replaces the worker after many requests, once it is idle', async () => {
    const { client, workers } = scripted((request, worker) =>
      worker.reply({ kind: 'result', id: request.id, result: facts }),
    );
    for (let n = 0; n < 70; n += 1) await client.openPhoto(going(), 'a', new ArrayBuffer(8));
    expect(workers.length).toBe(2);
    expect(workers[0]!.terminated).toBe(true);
  });

  it('rejects what is pending when it is closed', async () => {
    const { client, workers } = scripted(() => undefined);
    const pending = codeOf(client.openPhoto(going(), 'a', new ArrayBuffer(8)));
    client.close();
    expect(await pending).toBe('cancelled');
    expect(workers[0]!.terminated).toBe(true);
  });
});
