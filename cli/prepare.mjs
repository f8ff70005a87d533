// Installs what is missing before a command of package.json runs: the packages, and for tests a browser and a PDF renderer.
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
const runs = (command) => spawnSync(command, ['-v'], { stdio: 'ignore' }).error === undefined;

/** What the tests need beside the packages: the Debian package that has it and whether it is there. */
const tools = [
  {
    package: 'chromium',
    isThere: () => [process.env.CHROMIUM, ...browsers].some((path) => path && existsSync(path)),
    advice:
      'The tests need Chromium and it could not be installed. Install it, or set CHROMIUM to its path, and run again.',
  },
  {
    package: 'poppler-utils',
    isThere: () => runs('pdftoppm'),
    advice:
      'The tests need pdftoppm (of poppler-utils), to measure the printed sheet, and it could not be installed. Install it and run again.',
  },
];

if (process.argv.includes('--with-browser')) {
  const missing = tools.filter((tool) => !tool.isThere());
  const asRoot = process.getuid?.() === 0 ? [] : ['sudo'];
  const apt = (...args) => run([...asRoot, 'apt-get'][0], [...asRoot, 'apt-get', ...args].slice(1));
  if (missing.length > 0 && existsSync('/usr/bin/apt-get') && apt('update', '-qq'))
    apt('install', '-y', '-qq', ...missing.map((tool) => tool.package));
  const still = missing.filter((tool) => !tool.isThere());
  for (const tool of still) console.error(tool.advice);
  if (still.length > 0) process.exit(1);
}
