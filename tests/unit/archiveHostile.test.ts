import { describe, expect, it } from 'vitest';
import { ArchiveError } from '../../src/storage/archive/archiveError';
import { readArchive } from '../../src/storage/archive/read';
import { hostileArchives, photoPath, sound } from './archiveHostileKinds';
import { soundFiles } from './archiveMaking';

describe('an archive that is not sound', () => {
  it('is told apart from a sound one', async () => {
    const contents = await readArchive(new Blob([sound]));
    expect(contents.swatches.map((swatch) => swatch.id)).toEqual(['swatch-1']);
    expect(contents.yarns.map((yarn) => yarn.name)).toEqual(['Harbour sock']);
    const photo = await contents.readPhoto(contents.photos[0]!);
    expect(new Uint8Array(photo.bytes)).toEqual(soundFiles()[photoPath]);
  });

  it.each(hostileArchives)('is refused with one sentence: %s', async (_what, code, bytes) => {
    const refusal = await readArchive(new Blob([bytes()])).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(ArchiveError);
    expect(refusal).toMatchObject({ code });
    expect((refusal as ArchiveError).sentence).toMatch(/^[A-Z].*nothing was (changed|taken).*\.$/);
  });

  it('stops when it is told to, and says that nothing was changed', async () => {
    const signal = AbortSignal.abort();
    await expect(readArchive(new Blob([sound]), { signal })).rejects.toMatchObject({ code: 'cancelled' });
  });
});
