import { describe, expect, it } from 'vitest';
import { auditVerdict } from '../../cli/auditVerdict';

const report = (severities: Readonly<Record<string, string>>): string =>
  JSON.stringify({
    auditReportVersion: 2,
    vulnerabilities: Object.fromEntries(
      Object.entries(severities).map(([name, severity]) => [name, { name, severity }]),
    ),
  });

describe('the question about known advisories', () => {
  it('passes packages without any, and with lesser ones only', () => {
    expect(auditVerdict(report({}))).toEqual({ kind: 'clean' });
    expect(auditVerdict(report({ a: 'low', b: 'moderate' }))).toEqual({ kind: 'clean' });
  });

  it('names the packages with grave ones', () => {
    expect(auditVerdict(report({ a: 'high', b: 'low', c: 'critical' }))).toEqual({
      kind: 'advisories',
      names: ['a', 'c'],
    });
  });

  it.each(['', 'not JSON', '[]', '{"message":"405 Method Not Allowed","error":{"summary":""}}'])(
    'takes %j for no answer, which is no fault of the packages',
    (output) => {
      expect(auditVerdict(output)).toEqual({ kind: 'noAnswer' });
    },
  );
});
