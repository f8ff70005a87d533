import type { Id, Moment } from '../domain/records';

/**
 * A new identifier: 128 random bits as 32 hexadecimal digits.
 * Drawn by hand because `randomUUID` is missing on pages that are served without encryption.
 */
export const newId = (): Id =>
  [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** The present moment. */
export const now = (): Moment => new Date().toISOString();
