/** What a test writes into an EXIF record. */
export interface ExifFields {
  readonly orientation?: number;
  /** "YYYY:MM:DD HH:MM:SS" */
  readonly dateTimeOriginal?: string;
  readonly focalLengthIn35mmFilm?: number;
  readonly littleEndian?: boolean;
}

interface Field {
  readonly tag: number;
  readonly type: 2 | 3 | 4;
  readonly value: number | string;
}

const directory = (fields: readonly Field[], at: number, little: boolean): Uint8Array => {
  const texts = fields.filter((field) => typeof field.value === 'string');
  const tail = texts.reduce((sum, field) => sum + String(field.value).length + 1, 0);
  const out = new Uint8Array(2 + 12 * fields.length + 4 + tail);
  const view = new DataView(out.buffer);
  view.setUint16(0, fields.length, little);
  let textAt = 2 + 12 * fields.length + 4;
  fields.forEach((field, i) => {
    const entry = 2 + 12 * i;
    view.setUint16(entry, field.tag, little);
    view.setUint16(entry + 2, field.type, little);
    if (typeof field.value === 'string') {
      view.setUint32(entry + 4, field.value.length + 1, little);
      view.setUint32(entry + 8, at + textAt, little);
      for (const letter of field.value) {
        out[textAt] = letter.charCodeAt(0);
        textAt += 1;
      }
      textAt += 1;
    } else {
      view.setUint32(entry + 4, 1, little);
      if (field.type === 3) view.setUint16(entry + 8, field.value, little);
      else view.setUint32(entry + 8, field.value, little);
    }
  });
  return out;
};

/** A TIFF structure as CIPA DC-008 lays it out: main directory with the orientation, detail directory with the rest. */
export const exifRecord = (wanted: ExifFields): Uint8Array => {
  const little = wanted.littleEndian ?? true;
  const main: Field[] = [];
  if (wanted.orientation !== undefined) main.push({ tag: 0x0112, type: 3, value: wanted.orientation });
  const detail: Field[] = [];
  if (wanted.dateTimeOriginal !== undefined) {
    detail.push({ tag: 0x9003, type: 2, value: wanted.dateTimeOriginal });
  }
  if (wanted.focalLengthIn35mmFilm !== undefined) {
    detail.push({ tag: 0xa405, type: 3, value: wanted.focalLengthIn35mmFilm });
  }
  const detailAt = 8 + 2 + 12 * (main.length + 1) + 4;
  const first = directory([...main, { tag: 0x8769, type: 4, value: detailAt }], 8, little);
  const second = directory(detail, detailAt, little);
  const out = new Uint8Array(8 + first.length + second.length);
  const view = new DataView(out.buffer);
  out.set(little ? [0x49, 0x49] : [0x4d, 0x4d]);
  view.setUint16(2, 42, little);
  view.setUint32(4, 8, little);
  out.set(first, 8);
  out.set(second, 8 + first.length);
  return out;
};

/** The same JPEG file with an EXIF segment right after its start mark. */
export const jpegWithExif = (jpeg: Uint8Array, wanted: ExifFields): Uint8Array<ArrayBuffer> => {
  const record = exifRecord(wanted);
  const length = 2 + 6 + record.length;
  const segment = [
    0xff,
    0xe1,
    length >> 8,
    length & 0xff,
    ...'Exif\0\0'.split('').map((c) => c.charCodeAt(0)),
  ];
  const out = new Uint8Array(jpeg.length + segment.length + record.length);
  out.set(jpeg.subarray(0, 2));
  out.set(segment, 2);
  out.set(record, 2 + segment.length);
  out.set(jpeg.subarray(2), 2 + segment.length + record.length);
  return out;
};

/**
 * Where a stored pixel (row, column) belongs in the upright picture of the given size, for each value of the Orientation tag.
 * Source: CIPA DC-008-2019 (Exif 2.32), 4.6.4 A, "the 0th row is at the visual … of the image, the 0th column is the visual …".
 */
export const uprightPlace = (
  orientation: number,
  row: number,
  column: number,
  width: number,
  height: number,
): { x: number; y: number } => {
  switch (orientation) {
    case 1:
      return { x: column, y: row };
    case 2:
      return { x: width - 1 - column, y: row };
    case 3:
      return { x: width - 1 - column, y: height - 1 - row };
    case 4:
      return { x: column, y: height - 1 - row };
    case 5:
      return { x: row, y: column };
    case 6:
      return { x: width - 1 - row, y: column };
    case 7:
      return { x: width - 1 - row, y: height - 1 - column };
    default:
      return { x: row, y: height - 1 - column };
  }
};

/** RGBA pixels of an upright picture, laid out as a camera with this orientation stores them. */
export const storedPixels = (
  upright: { data: Uint8ClampedArray; width: number; height: number },
  orientation: number,
): { data: Uint8ClampedArray<ArrayBuffer>; width: number; height: number } => {
  const turned = orientation >= 5;
  const width = turned ? upright.height : upright.width;
  const height = turned ? upright.width : upright.height;
  const data = new Uint8ClampedArray(width * height * 4);
  for (let row = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1) {
      const { x, y } = uprightPlace(orientation, row, column, upright.width, upright.height);
      const from = 4 * (y * upright.width + x);
      data.set(upright.data.subarray(from, from + 4), 4 * (row * width + column));
    }
  }
  return { data, width, height };
};

/** A picture whose four quarters differ in colour, so that every turn and mirroring of it looks different. */
export const quarters = (
  width: number,
  height: number,
): { data: Uint8ClampedArray; width: number; height: number } => {
  const colours = [
    [200, 40, 40],
    [40, 180, 60],
    [50, 60, 200],
    [220, 210, 60],
  ];
  const data = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const colour = colours[(y < height / 2 ? 0 : 2) + (x < width / 2 ? 0 : 1)]!;
      data.set([...colour, 255], 4 * (y * width + x));
    }
  }
  return { data, width, height };
};
