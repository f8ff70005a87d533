import { describe, expect, it } from 'vitest';
import { guarded, StorageError, toStorageError } from '../../src/storage/errors';

const named = (name: string, inner?: unknown): Error => Object.assign(new Error(name), { name, inner });

describe('failures of the storage', () => {
  it('are tried once more when the browser failed for a reason of its own', async () => {
    let tries = 0;
    const result = await guarded(async () => {
      tries += 1;
      if (tries === 1) throw named('UnknownError');
      return 'stored';
    });
    expect([result, tries]).toEqual(['stored', 2]);
  });

  it('are not tried for ever', async () => {
    let tries = 0;
    const work = guarded(async () => {
      tries += 1;
      throw named('AbortError', named('UnknownError'));
    });
    await expect(work).rejects.toMatchObject({ code: 'unknown' });
    expect(tries).toBe(2);
  });

  it('are not tried again when there is no room', async () => {
    let tries = 0;
    const work = guarded(async () => {
      tries += 1;
      throw named('QuotaExceededError');
    });
    await expect(work).rejects.toMatchObject({ code: 'full' });
    expect(tries).toBe(1);
  });

  it.each([
    ['full', named('AbortError', named('QuotaExceededError'))],
    ['closed', named('DatabaseClosedError')],
    ['closed', named('DatabaseClosedError', named('VersionError'))],
    ['blocked', named('DatabaseClosedError', named('SecurityError'))],
    ['blocked', named('MissingAPIError')],
    ['unknown', 'not even an error'],
  ] as const)('have the code %s when the innermost known cause says so', (code, error) => {
    const failure = toStorageError(error);
    expect(failure.code).toBe(code);
    expect(failure.sentence).toMatch(/^[A-Z].*\.$/);
    expect(toStorageError(failure)).toBe(failure);
    expect(failure).toBeInstanceOf(StorageError);
  });
});
