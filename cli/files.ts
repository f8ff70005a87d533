import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';

const photoEndings = /\.(jpe?g|png|webp|avif|heic|heif|gif)$/i;

/**
 * The photos that a path stands for: itself, or, for a folder, what lies in it and is called like a photo, in the order of names. A path
 * that does not exist stands for itself, so that it is reported like any photo that cannot be read.
 */
export const photosAt = (path: string): string[] => {
  if (!statSync(path, { throwIfNoEntry: false })?.isDirectory()) return [path];
  return readdirSync(path)
    .filter((name) => photoEndings.test(name))
    .sort()
    .map((name) => join(path, name));
};
