import type { Id, Photo } from '../domain/records';
import { appStorage } from '../storage/repository';
import { createMeasureSession } from './measureSession';
import type { Session, SessionPorts } from './measureSessionTypes';
import { createVisionClient } from './visionClient';

/** Longer side of a thumbnail, px: sharp on a list at two device px per CSS px. */
const THUMBNAIL_PX = 480;

/** A small JPEG of a photo for lists; null where the browser cannot draw it, for then the list shows a plain card. */
const thumbnailOf = async (bytes: ArrayBuffer, mime: string): Promise<Photo['thumbnail']> => {
  try {
    const bitmap = await createImageBitmap(new Blob([bytes], { type: mime }));
    const scale = Math.min(1, THUMBNAIL_PX / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const context = canvas.getContext('2d');
    if (!context) return null;
    context.imageSmoothingQuality = 'high';
    context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', 0.82));
    return blob && { mime: blob.type, bytes: await blob.arrayBuffer() };
  } catch {
    return null;
  }
};

let sharedPorts: SessionPorts | undefined;
let shared: Session | undefined;

const portsOfPage = (): SessionPorts => {
  sharedPorts ??= {
    vision: createVisionClient(),
    storage: appStorage(),
    thumbnailOf,
    addressOf: (bytes, mime) => URL.createObjectURL(new Blob([bytes], { type: mime })),
    forgetAddress: (url) => URL.revokeObjectURL(url),
  };
  return sharedPorts;
};

/** The page's one measuring session: it outlives the screen, so that going to the notebook and back changes nothing. */
export const measureSession = (): Session => {
  if (shared) return shared;
  const ports = portsOfPage();
  // The worker loads while the user is still choosing a photo; a failure shows when a photo is opened.
  ports.vision.warmUp().catch(() => undefined);
  shared = createMeasureSession(ports);
  return shared;
};

/** A further session beside the page's own, for a swatch that is looked at together with others. */
export const furtherSession = (): Session => createMeasureSession(portsOfPage());

/** The page's own session if it has this swatch open, so that nobody works on an older version of it. */
export const sessionWith = (swatchId: Id): Session | null =>
  shared?.store.getState().swatch?.id === swatchId ? shared : null;
