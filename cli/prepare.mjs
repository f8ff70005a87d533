// Installs what is missing before a command of package.json runs: the packages, and for tests a browser.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const quiet = process.argv.includes('--quiet');

const run = (command, args) => {
  const out = spawnSync(command, args, { cwd: root, stdio: quiet ? ['ignore', 2, 2] : 'inherit' });
  return out.status === 0;
};

const wanted = readFileSync(join(root, 'package-lock.json'), 'utf8');
const installed = join(root, 'node_modules', '.package-lock.json');
const complete = () => {
  if (!existsSync(installed)) return false;
  const have = JSON.parse(readFileSync(installed, 'utf8')).packages;
  return Object.entries(JSON.parse(wanted).packages).every(
    ([path, entry]) => path === '' || entry.optional || have[path]?.version === entry.version,
  );
};
if (!complete() && !run('npm', ['ci', '--no-audit', '--no-fund', '--loglevel=notice'])) {
  console.error('The packages could not be installed. Check the network and run the command again.');
  process.exit(1);
}

const browsers = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
const hasBrowser = () => [process.env.CHROMIUM, ...browsers].some((path) => path && existsSync(path));
if (process.argv.includes('--with-browser') && !hasBrowser()) {
  const asRoot = process.getuid?.() === 0 ? [] : ['sudo'];
  const apt = (...args) => run([...asRoot, 'apt-get'][0], [...asRoot, 'apt-get', ...args].slice(1));
  const got =
    existsSync('/usr/bin/apt-get') && apt('update', '-qq') && apt('install', '-y', '-qq', 'chromium');
  if (!got || !hasBrowser()) {
    console.error(
      'The tests need Chromium and it could not be installed. Install it, or set CHROMIUM to its path, and run again.',
    );
    process.exit(1);
  }
}
