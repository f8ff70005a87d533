import { type ChildProcess, fork } from 'node:child_process';
import { join } from 'node:path';
import type { Sample } from './readingsOf';
import type { BenchCase, BenchRow } from './row';
import type { ScaleCase, ScaleRow } from './scaleCase';

type Message<Row> = { readonly row?: Row; readonly fault?: string; readonly ready?: true };

const start = (script: string): ChildProcess =>
  fork(join(import.meta.dirname, script), { execArgv: ['--import', 'tsx'] });

/**
 * Works off all cases in `processes` processes side by side, each running `script`, and gives their rows in the order of the cases.
 * @throws Error when a case breaks the program or a process ends before its time.
 */
const workOff = async <Case extends object, Row>(
  script: string,
  cases: readonly Case[],
  processes: number,
  onRow: (row: Row, done: number) => void,
): Promise<Row[]> => {
  const rows: Row[] = [];
  let next = 0;
  let done = 0;
  const drive = (child: ChildProcess): Promise<void> =>
    new Promise((resolve, reject) => {
      let current = -1;
      const give = (): void => {
        current = next;
        next += 1;
        const benchCase = cases[current];
        if (benchCase === undefined) {
          child.disconnect();
          resolve();
        } else child.send(benchCase);
      };
      child.on('message', (message: Message<Row>) => {
        if (message.fault !== undefined) {
          child.kill();
          reject(new Error(message.fault));
          return;
        }
        if (message.row !== undefined) {
          rows[current] = message.row;
          done += 1;
          onRow(message.row, done);
        }
        give();
      });
      child.on('exit', (code) => {
        if (code !== 0) reject(new Error(`A measuring process ended early (${String(code)}).`));
      });
    });
  const children = Array.from({ length: Math.min(processes, cases.length) }, () => start(script));
  try {
    await Promise.all(children.map(drive));
  } finally {
    for (const child of children) child.kill();
  }
  return rows;
};

/** Measures all cases, several at a time. @throws Error when a case breaks the program. */
export const measureAll = (
  cases: readonly BenchCase[],
  processes: number,
  onRow: (row: BenchRow, done: number) => void,
): Promise<BenchRow[]> => workOff('measuringProcess.ts', cases, processes, onRow);

/** Finds the scale of all cases, several at a time. @throws Error when a case breaks the program. */
export const scaleAll = (
  cases: readonly ScaleCase[],
  processes: number,
  onRow: (row: ScaleRow, done: number) => void,
): Promise<ScaleRow[]> => workOff('scaleProcess.ts', cases, processes, onRow);

/** Reads the stitches of all cases, several at a time. @throws Error when a case breaks the program. */
export const readAll = (
  cases: readonly BenchCase[],
  processes: number,
  onRow: (samples: readonly Sample[], done: number) => void,
): Promise<(readonly Sample[])[]> => workOff('readingProcess.ts', cases, processes, onRow);
