import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { samplePhotos } from '../../sample-images';
import { createVisionClient, type VisionClient } from '../../src/store/visionClient';
import { type MeasureHints, VisionFailure } from '../../workers/contract';

const hints: MeasureHints = { gridPitchMm: 25.4, reference: 'auto', region: null, thicknessMm: null };
const going = (): AbortSignal => new AbortController().signal;

const sample = async (name: string): Promise<ArrayBuffer> => {
  const photo = samplePhotos.find((candidate) => candidate.name === name)!;
  return (await fetch(photo.url)).arrayBuffer();
};

const failureOf = async (promise: Promise<unknown>): Promise<VisionFailure> => {
  const cause = await promise.then(
    () => null,
    (reason: unknown) => reason,
  );
  if (!(cause instanceof VisionFailure)) throw new Error(`Expected a failure, got ${String(cause)}`);
  return cause;
};

describe('the vision client with its worker', () => {
  let client: VisionClient;
  let oatmeal: ArrayBuffer;

  beforeAll(async () => {
    client = createVisionClient();
    oatmeal = await sample('oatmeal-inch-mat');
    await client.warmUp();
  });
  afterAll(() => client.close());

  it('opens a photo, leaves its bytes alone and tells its facts', async () => {
    const length = oatmeal.byteLength;
    const facts = await client.openPhoto(going(), 'oatmeal', oatmeal);
    expect(facts).toMatchObject({ widthPx: 2000, heightPx: 1500, mime: 'image/jpeg', remarks: [] });
    expect(oatmeal.byteLength).toBe(length);
  });

  it('measures it with progress that only goes forward', async () => {
    const heard: { stage: string; share: number }[] = [];
    const measurement = await client.measure(going(), 'oatmeal', hints, (stage, share) => {
      heard.push({ stage, share });
    });
    expect(measurement.photo.widthPx).toBe(2000);
    expect(measurement.stitches.grid?.wales.length).toBeGreaterThan(15);
    expect(measurement.references[measurement.chosenReference ?? -1]?.kind).toBe('grid');
    expect(new Set(heard.map(({ stage }) => stage)).size).toBeGreaterThanOrEqual(4);
    heard.slice(1).forEach(({ share }, i) => {
      expect(share).toBeGreaterThanOrEqual(heard[i]!.share);
    });
    expect(heard.at(-1)!.share).toBeLessThanOrEqual(1);
  });

  it('cancels at once and goes on with the same photo afterwards', async () => {
    const control = new AbortController();
    const cancelled = failureOf(
      client.measure(control.signal, 'oatmeal', hints, (stage) => {
        if (stage === 'reference') control.abort();
      }),
    );
    expect((await cancelled).code).toBe('cancelled');
    const again = await client.measure(going(), 'oatmeal', { ...hints, reference: 'none' });
    expect(again.references).toEqual([]);
    expect(again.stitches.grid).not.toBeNull();
  });

  it('answers several requests in order, drops a cancelled one, and remembers photos beyond the two that are open', async () => {
    const tall = await sample('marl-upright-inch-mat');
    const control = new AbortController();
    const order: string[] = [];
    const note = <T>(name: string, promise: Promise<T>): Promise<T> =>
      promise.finally(() => {
        order.push(name);
      });
    const [tallFacts, , dropped, third] = await Promise.all([
      note('tall', client.openPhoto(going(), 'tall', tall)),
      note('another', client.openPhoto(going(), 'another', tall)),
      failureOf(note('dropped', client.findStitches(control.signal, 'tall', hints))),
      note('oatmeal', client.findStitches(going(), 'oatmeal', hints)),
      Promise.resolve().then(() => control.abort()),
    ]);
    expect([tallFacts.widthPx, tallFacts.heightPx]).toEqual([1600, 2200]);
    expect(dropped.code).toBe('cancelled');
    expect(third.pitchPx).not.toBeNull();
    expect(order.filter((name) => name !== 'dropped')).toEqual(['tall', 'another', 'oatmeal']);
  });

  it('refuses bad files and unknown photos with a sentence, and goes on', async () => {
    const text = new TextEncoder().encode('Row 1: knit.\n').buffer;
    const bad = await failureOf(client.openPhoto(going(), 'text', text));
    expect(bad.code).toBe('photoUnknownKind');
    expect(bad.message).toMatch(/text file/);
    const short = await failureOf(client.openPhoto(going(), 'short', oatmeal.slice(0, 300_000)));
    expect(short.code).toBe('photoTruncated');
    const unknown = await failureOf(client.measure(going(), 'never opened', hints));
    expect(unknown.code).toBe('photoNotOpen');
    expect((await client.openPhoto(going(), 'oatmeal', oatmeal)).heightPx).toBe(1500);
  });

  it('does nothing for a request that is cancelled before it is made', async () => {
    const failure = await failureOf(client.openPhoto(AbortSignal.abort(), 'late', oatmeal));
    expect(failure.code).toBe('cancelled');
  });
});
