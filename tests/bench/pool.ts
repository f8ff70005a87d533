import { type ChildProcess, fork } from 'node:child_process';
import { join } from 'node:path';
import type { BenchCase, BenchRow } from './row';

type Message = { readonly row?: BenchRow; readonly fault?: string; readonly ready?: true };

const start = (): ChildProcess =>
  fork(join(import.meta.dirname, 'measuringProcess.ts'), { execArgv: ['--import', 'tsx'] });

/**
 * Measures all cases in `processes` processes side by side and gives their rows in the order of the cases.
 * @throws Error when a case breaks the program or a process ends before its time.
 */
export const measureAll = async (
  cases: readonly BenchCase[],
  processes: number,
  onRow: (row: BenchRow, done: number) => void,
): Promise<BenchRow[]> => {
  const rows: BenchRow[] = [];
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
      child.on('message', (message: Message) => {
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
  const children = Array.from({ length: Math.min(processes, cases.length) }, start);
  try {
    await Promise.all(children.map(drive));
  } finally {
    for (const child of children) child.kill();
  }
  return rows;
};
