/** A sentence that only the location record of a test's photo holds. */
export const secretPlace = 'LOFT BEHIND THE HARBOUR';

const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));

/**
 * A TIFF structure with a location directory as CIPA DC-008 (Exif 2.32, 4.6.6) lays it out: latitude and longitude in degrees, and
 * the name of the place.
 */
const gpsRecord = (): Uint8Array => {
  const entries = 5;
  const gpsAt = 8 + 2 + 12 + 4;
  const dataAt = gpsAt + 2 + 12 * entries + 4;
  const place = [...ascii('ASCII\0\0\0'), ...ascii(secretPlace)];
  const out = new Uint8Array(dataAt + 48 + place.length);
  const view = new DataView(out.buffer);
  out.set([0x49, 0x49]);
  view.setUint16(2, 42, true);
  view.setUint32(4, 8, true);
  const entry = (at: number, tag: number, type: number, count: number, value: number): void => {
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, type, true);
    view.setUint32(at + 4, count, true);
    view.setUint32(at + 8, value, true);
  };
  view.setUint16(8, 1, true);
  entry(10, 0x8825, 4, 1, gpsAt);
  view.setUint16(gpsAt, entries, true);
  entry(gpsAt + 2, 0x0001, 2, 2, 'N'.charCodeAt(0));
  entry(gpsAt + 14, 0x0002, 5, 3, dataAt);
  entry(gpsAt + 26, 0x0003, 2, 2, 'E'.charCodeAt(0));
  entry(gpsAt + 38, 0x0004, 5, 3, dataAt + 24);
  entry(gpsAt + 50, 0x001c, 7, place.length, dataAt + 48);
  [54, 19, 33, 10, 8, 4].forEach((degrees, i) => {
    view.setUint32(dataAt + 8 * i, degrees, true);
    view.setUint32(dataAt + 8 * i + 4, 1, true);
  });
  out.set(place, dataAt + 48);
  return out;
};

/** The same JPEG file with the place where it was taken in it, as telephones write it. */
export const jpegWithPlace = (jpeg: Uint8Array): Uint8Array<ArrayBuffer> => {
  const record = gpsRecord();
  const length = 2 + 6 + record.length;
  const segment = [0xff, 0xe1, length >> 8, length & 0xff, ...ascii('Exif\0\0'), ...record];
  const out = new Uint8Array(jpeg.length + segment.length);
  out.set(jpeg.subarray(0, 2));
  out.set(segment, 2);
  out.set(jpeg.subarray(2), 2 + segment.length);
  return out;
};
