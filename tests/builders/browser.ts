import { existsSync } from 'node:fs';

/** Where distributions put a Chromium that a test may drive; `CHROMIUM` in the environment comes first. */
const places = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/**
 * Launch options for the browser that is installed on this machine.
 * The path is empty when there is none; the launch then fails with the driver's own message.
 */
export const browserLaunch = (): { executablePath: string; args: string[] } => {
  const named = process.env.CHROMIUM;
  const executablePath = [...(named ? [named] : []), ...places].find((path) => existsSync(path)) ?? '';
  return {
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  };
};
