/** What the registry says of the packages that the lock file names. */
export type AuditVerdict =
  | { readonly kind: 'clean' }
  | { readonly kind: 'advisories'; readonly names: readonly string[] }
  /** The registry was not reached, or does not answer such questions. */
  | { readonly kind: 'noAnswer' };

const grave = ['high', 'critical'];

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;

/** Reads what `npm audit --json` prints (report version 2: one entry a package under `vulnerabilities`). */
export const auditVerdict = (output: string): AuditVerdict => {
  let report: unknown;
  try {
    report = JSON.parse(output);
  } catch {
    return { kind: 'noAnswer' };
  }
  if (!isObject(report) || !isObject(report.vulnerabilities)) return { kind: 'noAnswer' };
  const names = Object.entries(report.vulnerabilities)
    .filter(([, entry]) => isObject(entry) && grave.includes(String(entry.severity)))
    .map(([name]) => name);
  return names.length === 0 ? { kind: 'clean' } : { kind: 'advisories', names };
};
