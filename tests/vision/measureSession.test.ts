import { describe, expect, it } from 'vitest';
import { decodeInNode } from '../../cli/decode';
import { photoPoint } from '../../src/domain/coordinates';
import {
  type MeasureHints,
  VisionFailure,
  type VisionReply,
  type VisionRequest,
  type VisionResults,
} from '../../workers/contract';
import { opencvReady } from '../../workers/opencv';
import type { Decode } from '../../workers/photo/decoded';
import { createSession } from '../../workers/session';
import { sampleBytes } from '../builders/photos';

const hints: MeasureHints = { gridPitchMm: 25.4, reference: 'auto', region: null, thicknessMm: null };

const sessionWith = (ports: { decode?: Decode; ready?: () => Promise<void> } = {}) => {
  const replies: VisionReply[] = [];
  const session = createSession({
    decode: ports.decode ?? decodeInNode,
    ready: ports.ready ?? opencvReady,
    post: (reply) => replies.push(reply),
  });
  const ask = async (
    request: VisionRequest,
  ): Promise<Exclude<VisionReply, { kind: 'ready' | 'progress' }>> => {
    await session.handle(request);
    const last = replies.at(-1);
    if (last?.kind !== 'result' && last?.kind !== 'failure')
      throw new Error('A request was left unanswered.');
    expect(last.id).toBe(request.id);
    return last;
  };
  return { replies, ask };
};

const opening = (id: number, photoKey: string, bytes = sampleBytes('oatmeal-inch-mat')): VisionRequest => ({
  kind: 'openPhoto',
  id,
  photoKey,
  bytes: bytes.buffer,
});

describe('a session of the vision worker', () => {
  it('opens, measures, corrects the reference and grows stitches, each with one answer', async () => {
    const { ask, replies } = sessionWith();
    expect((await ask(opening(1, 'a'))).kind).toBe('result');

    const measured = await ask({ kind: 'measure', id: 2, photoKey: 'a', hints });
    if (measured.kind !== 'result') throw new Error(measured.sentence);
    const measurement = measured.result as VisionResults['measure'];
    expect(measurement.stitches.grid).not.toBeNull();
    const stages = replies.flatMap((reply) =>
      reply.kind === 'progress' && reply.id === 2 ? [reply.stage] : [],
    );
    expect([...new Set(stages)]).toEqual(['load', 'reference', 'pitch', 'template', 'grid', 'confidence']);
    const staged = Object.entries(measurement.timingsMs).filter(([name]) => name !== 'total');
    expect(staged.reduce((sum, [, ms]) => sum + ms, 0)).toBeCloseTo(
      measurement.timingsMs.total ?? Number.NaN,
      6,
    );

    const grid = measurement.references[0]!;
    const correction = { kind: grid.kind, handles: grid.handles, pitchMm: 25.4, lengthMm: null };
    const corrected = await ask({ kind: 'correctReference', id: 3, photoKey: 'a', correction });
    expect(corrected.kind).toBe('result');

    const { wales, courses } = measurement.stitches.grid!;
    const at = (lines: typeof wales, line: number) =>
      lines[line]!.points[Math.floor(lines[line]!.points.length / 2)]!;
    const grown = await ask({
      kind: 'growStitches',
      id: 4,
      photoKey: 'a',
      seeds: {
        wales: [at(wales, 14), at(wales, 15)],
        courses: [at(courses, 21), at(courses, 22)],
      },
    });
    if (grown.kind !== 'result') throw new Error(grown.sentence);
    const again = grown.result as VisionResults['growStitches'];
    expect(Math.abs(again.pitchPx!.wale / measurement.stitches.pitchPx!.wale - 1)).toBeLessThan(0.01);
  });

  it('says in a sentence when a correction cannot be', async () => {
    const { ask } = sessionWith();
    await ask(opening(1, 'a'));
    const same = photoPoint(700, 700);
    const answer = await ask({
      kind: 'correctReference',
      id: 2,
      photoKey: 'a',
      correction: { kind: 'twoPoints', handles: [same, same], pitchMm: null, lengthMm: 25.4 },
    });
    expect(answer).toMatchObject({ kind: 'failure', code: 'correctionRefused' });
    expect('sentence' in answer && answer.sentence).toMatch(/too close together/);
  });

  it('forgets the photo that was used longest ago when a third one is opened', async () => {
    const { ask } = sessionWith();
    await ask(opening(1, 'a'));
    await ask(opening(2, 'b'));
    await ask(opening(3, 'c'));
    const answer = await ask({ kind: 'measure', id: 4, photoKey: 'a', hints });
    expect(answer).toMatchObject({ kind: 'failure', code: 'photoNotOpen' });
  });

  it('passes on why OpenCV cannot be had', async () => {
    const missing = new VisionFailure('visionUnavailable', 'It could not be loaded.');
    const { ask } = sessionWith({ ready: () => Promise.reject(missing) });
    expect((await ask(opening(1, 'a'))).kind).toBe('result');
    const answer = await ask({ kind: 'measure', id: 2, photoKey: 'a', hints });
    expect(answer).toMatchObject({ code: 'visionUnavailable', sentence: 'It could not be loaded.' });
  });

  it('tells a lack of memory from a fault', async () => {
    const failing = (message: string) =>
      sessionWith({
        decode: async () => ({
          widthPx: 400,
          heightPx: 400,
          rows: () => {
            throw new RangeError(message);
          },
          close: () => undefined,
        }),
      }).ask(opening(1, 'a'));
    expect(await failing('Array buffer allocation failed')).toMatchObject({ code: 'outOfMemory' });
    expect(await failing('offset is out of bounds')).toMatchObject({ code: 'internal' });
  });

  it('answers requests one after the other in the order in which they came', async () => {
    const { ask, replies } = sessionWith();
    await Promise.allSettled([ask(opening(1, 'a')), ask(opening(2, 'b')), ask(opening(3, 'c'))]);
    const answered = replies.flatMap((reply) => (reply.kind === 'result' ? [reply.id] : []));
    expect(answered).toEqual([1, 2, 3]);
  });
});
