import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bytes } from '../../workers/photo/bytes';
import { noExif, readExif } from '../../workers/photo/exif';
import { exifRecord } from '../builders/exif';

const read = (record: Uint8Array) => readExif(new Bytes(record));

describe('the EXIF record of a photo', () => {
  it('is read in both byte orders', () => {
    for (const littleEndian of [true, false]) {
      const fields = {
        orientation: 6,
        dateTimeOriginal: '2023:12:31 23:59:59',
        focalLengthIn35mmFilm: 77,
        littleEndian,
      };
      expect(read(exifRecord(fields))).toEqual({
        orientation: 6,
        takenAt: '2023-12-31T23:59:59',
        focalLength35Mm: 77,
      });
    }
  });

  it('gives nothing for an orientation, a date or a focal length that cannot be', () => {
    expect(read(exifRecord({ orientation: 9 })).orientation).toBe(1);
    expect(read(exifRecord({ dateTimeOriginal: '0000:00:00 00:00:00' })).takenAt).toBeNull();
    expect(read(exifRecord({ dateTimeOriginal: '2023:02:30 12:00:00' })).takenAt).toBeNull();
    expect(read(exifRecord({ dateTimeOriginal: '    :  :     :  :  ' })).takenAt).toBeNull();
    expect(read(exifRecord({ focalLengthIn35mmFilm: 0 })).focalLength35Mm).toBeNull();
  });

  it('counts as absent when it is damaged, however it is damaged', () => {
    const record = exifRecord({ orientation: 3, dateTimeOriginal: '2023:12:31 23:59:59' });
    for (let length = 0; length < 20; length += 1) {
      expect(read(record.slice(0, length))).toEqual(noExif);
    }
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (noise) => {
        const { orientation } = read(Uint8Array.from([0x49, 0x49, 42, 0, 8, 0, 0, 0, ...noise]));
        expect(orientation).toBeGreaterThanOrEqual(1);
        expect(orientation).toBeLessThanOrEqual(8);
      }),
    );
  });
});
