import type { Measurement } from '../../src/domain/measurement';
import type { Storage } from '../../src/storage/repository';
import { createMeasureSession } from '../../src/store/measureSession';
import type { Session } from '../../src/store/measureSessionTypes';
import type { VisionClient } from '../../src/store/visionClient';

/** A vision client that answers at once with one measurement; what it finds is not under test. */
export const answeringVision = (
  measurement: Measurement,
  over: Partial<VisionClient> = {},
): VisionClient => ({
  openPhoto: async () => measurement.photo,
  measure: async () => measurement,
  findStitches: async () => measurement.stitches,
  growStitches: async () => measurement.stitches,
  correctReference: async (_signal, _key, correction) => ({ ...measurement.references[0]!, ...correction }),
  warmUp: async () => undefined,
  close: () => undefined,
  ...over,
});

/** A measuring session on a storage, without pictures. */
export const sessionOn = (storage: Storage, vision: VisionClient): Session =>
  createMeasureSession({
    vision,
    storage,
    thumbnailOf: async () => null,
    addressOf: () => 'blob:photo',
    forgetAddress: () => undefined,
  });
