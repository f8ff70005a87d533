import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');

const filesBelow = (folder: string): string[] =>
  readdirSync(join(root, folder)).flatMap((name) => {
    const path = join(folder, name);
    return statSync(join(root, path)).isDirectory() ? filesBelow(path) : /\.tsx?$/.test(name) ? [path] : [];
  });

const importsOf = (file: string): string[] => {
  const text = readFileSync(join(root, file), 'utf8');
  return [...text.matchAll(/(?:from|import|import\()\s*'([^']+)'|new URL\(\s*'([^']+)'/g)].map(
    (m) => m[1] ?? m[2] ?? '',
  );
};

/** Imports of our own, as paths from the project's root. */
const ownImportsOf = (file: string): string[] =>
  importsOf(file)
    .filter((target) => target.startsWith('.'))
    .map((target) => relative(root, resolve(root, dirname(file), target)).replace(/\?.*$/, ''));

/** Room of a file → rooms whose files it may import. A room may always import from itself. */
const allowed: [room: string, mayUse: string[]][] = [
  ['src/domain', []],
  ['src/store', ['src/domain', 'src/storage', 'workers/contract', 'workers/vision.worker']],
  ['src/storage', ['src/domain', 'workers/contract']],
  ['src/ui', ['src/domain', 'src/store']],
  [
    'src/features',
    [
      'src/domain',
      'src/store',
      'src/storage',
      'src/ui',
      'src/app/theme',
      'workers/contract',
      'sample-images',
    ],
  ],
  ['src/app', ['src/domain', 'src/store', 'src/storage', 'src/ui', 'src/features', 'workers/contract']],
  ['workers', ['src/domain']],
  ['cli', ['src/domain', 'workers']],
];

describe('the arrows between the rooms', () => {
  for (const [room, mayUse] of allowed) {
    it(`${room} imports only from ${mayUse.join(', ') || 'itself'}`, () => {
      const wrong = filesBelow(room).flatMap((file) =>
        ownImportsOf(file)
          .filter(
            (target) =>
              ![room, ...mayUse].some(
                (ok) => target === ok || target.startsWith(`${ok}/`) || target === `${ok}.ts`,
              ),
          )
          .map((target) => `${file} → ${target}`),
      );
      expect(wrong).toEqual([]);
    });
  }

  it('one feature never imports another', () => {
    const wrong = filesBelow('src/features').flatMap((file) => {
      const own = file.split('/').slice(0, 3).join('/');
      return ownImportsOf(file)
        .filter((target) => target.startsWith('src/features/') && !target.startsWith(own))
        .map((target) => `${file} → ${target}`);
    });
    expect(wrong).toEqual([]);
  });

  it('nothing in src but the vision client reaches into workers beyond the contract', () => {
    const wrong = filesBelow('src').flatMap((file) =>
      ownImportsOf(file)
        .filter((target) => target.startsWith('workers') && target !== 'workers/contract')
        .filter(() => !file.startsWith('src/store/vision'))
        .map((target) => `${file} → ${target}`),
    );
    expect(wrong).toEqual([]);
  });

  it('the domain knows no React, no page and no OpenCV', () => {
    const wrong = filesBelow('src/domain').flatMap((file) => {
      const text = readFileSync(join(root, file), 'utf8');
      return importsOf(file)
        .filter((target) => !target.startsWith('.'))
        .concat(/\b(document|window|navigator|indexedDB)\.\w/.test(text) ? ['the DOM'] : [])
        .map((target) => `${file} → ${target}`);
    });
    expect(wrong).toEqual([]);
  });
});
