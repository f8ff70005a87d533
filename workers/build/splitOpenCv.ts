import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Plugin } from 'vite';

const PACKAGE = '@techstark/opencv-js';
/** How the library spells its compiled half inside its script, and what it does with it before loading. */
const EMBEDDED = /var wasmBinaryFile="data:application\/octet-stream;base64,([A-Za-z0-9+/=]+)";/;
const LOCATE = 'if(!isDataURI(wasmBinaryFile)){wasmBinaryFile=locateFile(wasmBinaryFile)}';

/** The library's script without its compiled half, as an ES module that takes the address of that half from Vite. */
const asModule = (script: string, wasmFile: string): string => {
  const bare = script
    .replace(EMBEDDED, () => 'var wasmBinaryFile=wasmAddress;')
    .replace(LOCATE, () => '')
    .replace(/\brequire\(/g, 'noRequire(');
  return [
    `import wasmAddress from ${JSON.stringify(`${wasmFile}?url`)};`,
    "const noRequire = () => { throw new Error('There are no Node modules in a browser.'); };",
    'const module = { exports: {} };',
    'const exports = module.exports;',
    bare,
    'export default module.exports;',
  ].join('\n');
};

/** Writes the compiled half beside Vite's other caches, once a version, and says where. */
const extractWasm = (base64: string, cacheFolder: string): string => {
  const wasm = Buffer.from(base64, 'base64');
  const name = `opencv-${createHash('sha256').update(wasm).digest('hex').slice(0, 12)}.wasm`;
  const file = join(cacheFolder, name);
  mkdirSync(cacheFolder, { recursive: true });
  if (!existsSync(file)) writeFileSync(file, wasm);
  return file;
};

/**
 * Vite plugin: takes OpenCV's WebAssembly out of its script, where it sits as 10 MB of base64, and serves it as a file of its own, so that the
 * browser compiles it while it arrives and keeps the compiled code. Node goes on using the package as it is.
 * @throws Error at build time when the package no longer looks as expected.
 */
export const splitOpenCv = (): Plugin => {
  const script = createRequire(import.meta.url).resolve(PACKAGE);
  let cacheFolder = '';
  return {
    name: 'walewright-split-opencv',
    enforce: 'pre',
    applyToEnvironment: (environment) => environment.config.consumer === 'client',
    config: () => ({ optimizeDeps: { exclude: [PACKAGE] } }),
    configResolved: (config) => {
      cacheFolder = join(config.root, 'node_modules/.cache/walewright');
    },
    resolveId: (source) => (source === PACKAGE ? script : null),
    load(id) {
      if (id.split('?')[0] !== script) return null;
      const text = readFileSync(script, 'utf8');
      const base64 = EMBEDDED.exec(text)?.[1];
      if (!base64 || !text.includes(LOCATE)) {
        throw new Error(`${PACKAGE} has changed: its WebAssembly was not found where it used to be.`);
      }
      return { code: asModule(text, extractWasm(base64, cacheFolder)), map: null };
    },
  };
};
