import type { Id } from '../domain/records';
import { appStorage } from '../storage/repository';
import { createMeasureSession } from './measureSession';
import type { Session, SessionPorts } from './measureSessionTypes';
import { thumbnailOf } from './thumbnail';
import { createVisionClient } from './visionClient';

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
