import sharp from 'sharp';
import type { Decode } from '../workers/photo/decoded';

/** Decodes a photo in Node: upright by its orientation tag, laid on white, sRGB bytes. */
export const decodeInNode: Decode = async (bytes) => {
  const { data, info } = await sharp(bytes, { limitInputPixels: false, failOn: 'truncated' })
    .rotate()
    .toColourspace('srgb')
    .flatten({ background: '#ffffff' })
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const pixels = new Uint8ClampedArray(data.buffer, data.byteOffset, data.byteLength);
  const stride = info.width * 4;
  return {
    widthPx: info.width,
    heightPx: info.height,
    rows: (from, count) => pixels.subarray(from * stride, (from + count) * stride),
    close: () => undefined,
  };
};
