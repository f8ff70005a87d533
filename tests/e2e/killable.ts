import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { chromium, type Page } from 'playwright-core';
import { browserLaunch } from '../builders/browser';

/** A browser in a process of its own, with a profile on disk that outlives it. */
export interface KillableBrowser {
  readonly page: Page;
  /** Ends every process of the browser at once, as a power cut would; resolves when they are gone. */
  readonly kill: () => Promise<void>;
}

/** Starts the browser on a profile folder and opens an address in it. */
export const startKillable = async (profile: string, address: string): Promise<KillableBrowser> => {
  const { executablePath, args } = browserLaunch();
  const process_ = spawn(
    executablePath,
    [...args, '--headless=new', '--remote-debugging-port=0', `--user-data-dir=${profile}`, 'about:blank'],
    // A group of its own, so that the browser's helpers can be ended with it, and nothing else.
    { detached: true, stdio: ['ignore', 'ignore', 'pipe'] },
  );
  const gone = new Promise<void>((done) => process_.once('exit', () => done()));
  const endpoint = await new Promise<string>((found, fail) => {
    const lines = createInterface({ input: process_.stderr });
    lines.on('line', (line) => {
      const match = /DevTools listening on (ws:\S+)/.exec(line);
      if (match?.[1]) found(match[1]);
    });
    lines.once('close', () => fail(new Error('The browser did not start.')));
  });
  const browser = await chromium.connectOverCDP(endpoint);
  const page = await browser.contexts()[0]!.newPage();
  page.setDefaultTimeout(60_000);
  await page.goto(address);
  return {
    page,
    kill: async () => {
      const runs = process_.exitCode === null && process_.signalCode === null;
      if (runs && process_.pid !== undefined) process.kill(-process_.pid, 'SIGKILL');
      await gone;
      await browser.close().catch(() => undefined);
    },
  };
};
