/// <reference types="vitest/config" />
import { availableParallelism } from 'node:os';
import react from '@vitejs/plugin-react';
import { playwright } from '@vitest/browser-playwright';
import { defineConfig } from 'vite';
import { browserLaunch } from './tests/builders/browser.ts';
import { contentPolicy } from './workers/build/contentPolicy.ts';
import { splitOpenCv } from './workers/build/splitOpenCv.ts';

/** Test files that run side by side: one for each core, as the runner's own choice leaves half of a two-core machine idle; each may hold an OpenCV of its own. */
const testWorkers = Math.min(4, availableParallelism());

export default defineConfig({
  base: './',
  plugins: [react(), splitOpenCv(), contentPolicy()],
  worker: { format: 'es', plugins: () => [splitOpenCv()] },
  build: { target: 'es2022', chunkSizeWarningLimit: 12_000 },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          maxWorkers: testWorkers,
          environment: 'node',
          include: ['tests/unit/**/*.test.ts'],
          setupFiles: ['tests/builders/property-seed.ts'],
          testTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'vision',
          maxWorkers: testWorkers,
          setupFiles: ['tests/builders/property-seed.ts'],
          environment: 'node',
          include: ['tests/vision/**/*.test.ts'],
          // OpenCV's object carries a `then`; mixed into its module by this interop, importing it would never end.
          deps: { interopDefault: false },
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'component',
          maxWorkers: testWorkers,
          environment: 'jsdom',
          include: ['tests/component/**/*.test.ts?(x)'],
          testTimeout: 30_000,
        },
      },
      {
        extends: true,
        // Found only while tests run, these would make the page load anew half way, with two Reacts in it.
        optimizeDeps: {
          include: [
            '@testing-library/react',
            'dexie',
            'fflate',
            'react',
            'react-dom',
            'react-dom/client',
            'react/jsx-dev-runtime',
            'valibot',
            'wouter',
            'wouter/memory-location',
            'wouter/use-hash-location',
            'zustand',
            'zustand/vanilla',
          ],
        },
        test: {
          name: 'browser',
          // Browsers use every core by themselves: after all else, not beside it.
          sequence: { groupOrder: 1 },
          include: ['tests/browser/**/*.test.ts?(x)'],
          testTimeout: 120_000,
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            provider: playwright({ launchOptions: browserLaunch() }),
            instances: [{ browser: 'chromium' }],
          },
        },
      },
      {
        extends: true,
        test: {
          name: 'e2e',
          sequence: { groupOrder: 2 },
          environment: 'node',
          include: ['tests/e2e/**/*.test.ts'],
          // Two cores that draw, decode and count at once are slow; a hang still ends.
          testTimeout: 400_000,
          hookTimeout: 180_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
