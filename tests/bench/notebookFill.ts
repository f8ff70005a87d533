import type { Page } from 'playwright-core';

/**
 * Puts so many swatches straight into the open app's notebook, with yarns, a machine, small pictures and readings; all of them
 * drawn from a fixed seed. The page must have opened its notebook before.
 */
export const fillNotebook = (page: Page, count: number): Promise<void> =>
  page.evaluate(async (total) => {
    let state = 12345;
    const random = (): number => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32;
    };
    const pick = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)] as T;
    const words = 'harbour tide pebble moss lantern oat slate heather fern copper mist loft'.split(' ');
    const moment = '2026-01-01T08:00:00.000Z';
    const stamps = { createdAt: moment, updatedAt: moment };
    const yarns = Array.from({ length: Math.max(3, Math.round(total / 40)) }, (_, i) => ({
      id: `yarn-${i}`,
      name: `${pick(words)} ${pick(words)} ${i}`,
      maker: pick(words),
      fibre: pick(['wool', 'wool and nylon', 'cotton']),
      colour: pick(['slate', 'dark green', 'rust']),
      lot: String(Math.floor(random() * 9999)),
      tex: 100 + Math.floor(random() * 200),
      notes: '',
      ...stamps,
    }));
    const canvas = new OffscreenCanvas(160, 160);
    const context = canvas.getContext('2d');
    for (let i = 0; context && i < 400; i += 1) {
      context.fillStyle = `hsl(${random() * 360} 40% 50%)`;
      context.fillRect(random() * 160, random() * 160, 12, 12);
    }
    const bytes = await (await canvas.convertToBlob({ type: 'image/jpeg' })).arrayBuffer();
    const uncertain = (perInch: number) => ({ value: perInch / 25.4, plusMinus95: 0.06 / 25.4 });
    const swatches = Array.from({ length: total }, (_, i) => {
      const createdAt = new Date(1_600_000_000_000 + i * 7_200_000).toISOString();
      return {
        id: `swatch-${i}`,
        state: 'saved',
        photoId: `photo-${i}`,
        photoFacts: null,
        scale: null,
        thicknessMm: null,
        layers: 1,
        edits: [],
        undone: [],
        window: null,
        gauge: {
          walesPerMm: uncertain(6 + 4 * random()),
          coursesPerMm: uncertain(9 + 4 * random()),
          walesInWindow: 24,
          coursesInWindow: 30,
          status: 'measured',
        },
        yarnId: pick(yarns).id,
        machineId: 'loft',
        cylinderNeedles: pick([54, 60, 72, 84]),
        reading: { landmarkId: null, unit: 'mm', repeats: [{ typed: '28.91', mm: 28 + 2 * random() }] },
        restState: pick(['offMachine', 'rested', 'washedAndDried', 'worn']),
        notes: `number ${i}: ${pick(words)} ${pick(words)} ${pick(words)} ${pick(words)}`,
        createdAt,
        updatedAt: createdAt,
        deletedAt: null,
        revision: 1,
        writer: 'bench',
      };
    });
    const cards = swatches.map((swatch) => ({
      id: swatch.id,
      state: swatch.state,
      photoId: swatch.photoId,
      gauge: swatch.gauge,
      yarnId: swatch.yarnId,
      machineId: swatch.machineId,
      cylinderNeedles: swatch.cylinderNeedles,
      landmarkId: null,
      readingsMm: swatch.reading.repeats.map(({ mm }) => mm),
      readingUnit: 'mm',
      restState: swatch.restState,
      notes: swatch.notes,
      copiedFrom: null,
      pieceId: swatch.id,
      createdAt: swatch.createdAt,
      updatedAt: swatch.updatedAt,
      deletedAt: null,
    }));
    const rows: Record<string, readonly object[]> = {
      yarns,
      machines: [
        { id: 'loft', name: 'Loft machine', cylinderNeedles: [54, 60, 72, 84], notes: '', ...stamps },
      ],
      swatches,
      cards,
      thumbnails: swatches.map(({ photoId }) => ({ photoId, mime: 'image/jpeg', bytes })),
    };
    await new Promise<void>((done, fail) => {
      const open = indexedDB.open('walewright');
      open.onerror = () => fail(open.error);
      open.onsuccess = () => {
        const all = open.result.transaction(Object.keys(rows), 'readwrite');
        for (const [table, records] of Object.entries(rows)) {
          for (const record of records) all.objectStore(table).put(record);
        }
        all.onerror = () => fail(all.error);
        all.oncomplete = () => {
          open.result.close();
          done();
        };
      };
    });
  }, count);
