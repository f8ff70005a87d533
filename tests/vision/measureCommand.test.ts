import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as v from 'valibot';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sampleFolder, sampleTruth } from '../builders/photos';

const root = join(import.meta.dirname, '../..');

const command = (...words: string[]) => {
  const out = spawnSync(
    process.execPath,
    [join(root, 'node_modules/tsx/dist/cli.mjs'), 'cli/measure.ts', ...words],
    {
      cwd: root,
      encoding: 'utf8',
      maxBuffer: 64e6,
    },
  );
  return { code: out.status, printed: out.stdout, complained: out.stderr };
};

const finite = v.pipe(v.number(), v.finite());
const point = v.strictTuple([finite, finite]);
const uncertain = v.object({ value: finite, plusMinus95: v.pipe(finite, v.minValue(0)) });
const lines = v.array(
  v.object({ index: v.pipe(v.number(), v.integer()), px: v.pipe(v.array(point), v.minLength(2)) }),
);
const reports = v.array(
  v.object({
    photo: v.string(),
    status: v.picklist(['measured', 'proposal', 'unreadable']),
    reasons: v.array(v.pipe(v.string(), v.minLength(1))),
    reference: v.nullable(
      v.object({ kind: v.string(), pitchMm: v.optional(finite), residualPx: finite, tiltDeg: finite }),
    ),
    planeMap: v.nullable(v.pipe(v.array(finite), v.length(9))),
    pitchPx: v.nullable(v.object({ wale: finite, course: finite })),
    gauge: v.nullable(
      v.object({
        stitchesPerInch: uncertain,
        rowsPerInch: uncertain,
        needlePositionsPerInch: uncertain,
        spiralityDeg: uncertain,
      }),
    ),
    face: v.picklist(['knit', 'purl', 'unknown']),
    windowPx: v.array(point),
    wales: lines,
    courses: lines,
    timingsMs: v.record(v.string(), finite),
  }),
);

const oatmeal = join(sampleFolder, 'oatmeal-inch-mat.jpg');

describe('the measure command', () => {
  let folder = '';
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'walewright-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('prints nothing but the agreed array with --json, and the gauge in it is right', () => {
    const { code, printed, complained } = command('--json', '--grid-pitch', '1in', oatmeal);
    expect(complained).toBe('');
    expect(code).toBe(0);
    const [report] = v.parse(reports, JSON.parse(printed));
    const truth = sampleTruth('oatmeal-inch-mat');
    expect(report?.photo).toBe(oatmeal);
    expect(report?.reference?.kind).toBe('grid');
    expect(report?.reference?.pitchMm).toBe(25.4);
    expect(Math.abs(report!.reference!.tiltDeg - truth.camera.tilt_deg)).toBeLessThan(1);
    expect(Math.abs(report!.gauge!.stitchesPerInch.value / truth.gauge.stitches_per_inch - 1)).toBeLessThan(
      0.01,
    );
    expect(Math.abs(report!.gauge!.rowsPerInch.value / truth.gauge.rows_per_inch - 1)).toBeLessThan(0.01);
    // Two neighbouring grid points of the mat are one inch apart under the map.
    const [a, b, c, d, e, f, g, h, i] = report!.planeMap as [number, ...number[]] & number[];
    const place = ([x, y]: readonly [number, number]): [number, number] => {
      const w = g! * x + h! * y + i!;
      return [(a * x + b! * y + c!) / w, (d! * x + e! * y + f!) / w];
    };
    const [p, q] = truth.reference.grid_points!.slice(0, 2);
    const [px, py] = place(p!.px);
    const [qx, qy] = place(q!.px);
    expect(Math.abs(Math.hypot(qx - px, qy - py) / 25.4 - 1)).toBeLessThan(0.003);
    expect(report!.wales.map(({ index }) => index)).toEqual(report!.wales.map((_, n) => n));
    expect(report!.windowPx).toHaveLength(4);
  });

  it('asks for the pitch of a grid instead of guessing it, and still counts in pixels', () => {
    const { code, printed } = command('--json', oatmeal);
    expect(code).toBe(0);
    const [report] = v.parse(reports, JSON.parse(printed));
    expect(report).toMatchObject({ status: 'proposal', gauge: null, planeMap: null });
    expect(report!.reasons.join(' ')).toMatch(/--grid-pitch/);
    expect(report!.pitchPx!.wale).toBeGreaterThan(30);
    expect(report!.reference).not.toHaveProperty('pitchMm');
  });

  it('reads a folder, says one line a photo, and fails when one of them cannot be read', () => {
    writeFileSync(join(folder, 'a-note.jpg'), 'Not a photo at all.');
    writeFileSync(join(folder, 'b-empty.png'), '');
    writeFileSync(join(folder, 'notes.txt'), 'Left alone.');
    const { code, printed } = command(folder);
    expect(code).toBe(1);
    const said = printed.trim().split('\n');
    expect(said).toHaveLength(2);
    expect(said[0]).toMatch(/^a-note\.jpg: not read\. .*text file/);
    expect(said[1]).toMatch(/^b-empty\.png: not read\. .*empty/);
    const listed = v.parse(reports, JSON.parse(command('--json', folder).printed));
    expect(listed.map(({ status }) => status)).toEqual(['unreadable', 'unreadable']);
  });

  it('refuses a command that it does not understand with a sentence and code 2', () => {
    const { code, printed, complained } = command(oatmeal, '--region', '5,5,1,1');
    expect([code, printed]).toEqual([2, '']);
    expect(complained.trim()).toMatch(/^--region goes from .*\.$/);
  });
});
