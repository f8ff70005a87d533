import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { auditVerdict } from './auditVerdict';

/* Asks the registry for known advisories of high or critical severity against what the lock file names; fails when there are any. */
const { stdout } = spawnSync('npm', ['audit', '--json', '--audit-level=high'], {
  cwd: resolve(import.meta.dirname, '..'),
  encoding: 'utf8',
  timeout: 60_000,
});
const verdict = auditVerdict(stdout ?? '');
if (verdict.kind === 'noAnswer')
  console.log('The registry does not answer about advisories here: not checked.');
if (verdict.kind === 'clean') console.log('No known advisory of high severity against any package.');
if (verdict.kind === 'advisories') {
  console.error(`Known advisories of high severity against: ${verdict.names.join(', ')}. See "npm audit".`);
  process.exitCode = 1;
}
