import type { Bytes } from './bytes';

/** The few facts that are taken from a photo's EXIF record. */
export interface Exif {
  /** 1 to 8, as in the Orientation tag; 1 when absent. */
  readonly orientation: number;
  /** ISO 8601 without zone, or null. */
  readonly takenAt: string | null;
  /** Focal length in 35 mm equivalent, mm, or null. */
  readonly focalLength35Mm: number | null;
}

export const noExif: Exif = { orientation: 1, takenAt: null, focalLength35Mm: null };

/** Tags of CIPA DC-008 (Exif 2.32), tables 4 and 8. */
const tag = {
  orientation: 0x0112,
  dateTime: 0x0132,
  exifDirectory: 0x8769,
  dateTimeOriginal: 0x9003,
  focalLengthIn35mmFilm: 0xa405,
} as const;

const TYPE_ASCII = 2;
const TYPE_SHORT = 3;
const TYPE_LONG = 4;
const ENTRY_BYTES = 12;
/** More entries than any camera writes; a larger count is a damaged record. */
const MAX_ENTRIES = 512;

interface Entry {
  readonly type: number;
  readonly count: number;
  readonly valueAt: number;
}

const directory = (tiff: Bytes, at: number, little: boolean): Map<number, Entry> => {
  const entries = new Map<number, Entry>();
  const count = tiff.u16(at, little);
  if (count > MAX_ENTRIES) return entries;
  for (let i = 0; i < count; i += 1) {
    const entry = at + 2 + i * ENTRY_BYTES;
    if (entry + ENTRY_BYTES > tiff.length) break;
    entries.set(tiff.u16(entry, little), {
      type: tiff.u16(entry + 2, little),
      count: tiff.u32(entry + 4, little),
      valueAt: entry + 8,
    });
  }
  return entries;
};

const wholeNumber = (tiff: Bytes, entry: Entry | undefined, little: boolean): number | null => {
  if (entry?.count !== 1) return null;
  if (entry.type === TYPE_SHORT) return tiff.u16(entry.valueAt, little);
  return entry.type === TYPE_LONG ? tiff.u32(entry.valueAt, little) : null;
};

/** "YYYY:MM:DD HH:MM:SS" → ISO 8601 without zone; null for blanks, zeros and dates that do not exist. */
const moment = (text: string): string | null => {
  const found = /^(\d{4}):(\d{2}):(\d{2}) (\d{2}):(\d{2}):(\d{2})/.exec(text);
  if (!found) return null;
  const iso = `${found[1]}-${found[2]}-${found[3]}T${found[4]}:${found[5]}:${found[6]}`;
  const time = new Date(`${iso}Z`);
  return !Number.isNaN(time.getTime()) && time.toISOString().startsWith(iso) ? iso : null;
};

const date = (tiff: Bytes, entry: Entry | undefined, little: boolean): string | null => {
  if (entry?.type !== TYPE_ASCII || entry.count < 19 || entry.count > 64) return null;
  const at = tiff.u32(entry.valueAt, little);
  return at + 19 <= tiff.length ? moment(tiff.text(at, 19)) : null;
};

const read = (tiff: Bytes): Exif => {
  const little = tiff.spells(0, 'II');
  if ((!little && !tiff.spells(0, 'MM')) || tiff.u16(2, little) !== 42) return noExif;
  const main = directory(tiff, tiff.u32(4, little), little);
  const detailAt = wholeNumber(tiff, main.get(tag.exifDirectory), little);
  const detail =
    detailAt !== null && detailAt + 2 <= tiff.length
      ? directory(tiff, detailAt, little)
      : new Map<number, Entry>();
  const orientation = wholeNumber(tiff, main.get(tag.orientation), little) ?? 1;
  const focal = wholeNumber(tiff, detail.get(tag.focalLengthIn35mmFilm), little);
  return {
    orientation: orientation >= 1 && orientation <= 8 ? orientation : 1,
    takenAt:
      date(tiff, detail.get(tag.dateTimeOriginal), little) ?? date(tiff, main.get(tag.dateTime), little),
    focalLength35Mm: focal !== null && focal > 0 && focal < 2000 ? focal : null,
  };
};

/**
 * Reads an EXIF record (a TIFF structure, CIPA DC-008). The record is only a hint, so a damaged one counts as absent.
 */
export const readExif = (tiff: Bytes): Exif => {
  try {
    return read(tiff);
  } catch (cause) {
    if (cause instanceof RangeError) return noExif;
    throw cause;
  }
};
