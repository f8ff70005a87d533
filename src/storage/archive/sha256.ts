import { ArchiveError } from './archiveError';

/**
 * SHA-256 (FIPS 180-4) of some bytes as 64 hexadecimal digits.
 * @throws ArchiveError when the page was served in a way that switches the browser's cryptography off.
 */
export const sha256 = async (bytes: Uint8Array<ArrayBuffer> | ArrayBuffer): Promise<string> => {
  if (globalThis.crypto?.subtle === undefined) {
    throw new ArchiveError(
      'unsafe',
      'Archives need the page to be opened over an encrypted connection (https) or from this very device; nothing was changed.',
    );
  }
  const digest = await crypto.subtle.digest('SHA-256', bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
};
