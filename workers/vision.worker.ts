import { VisionFailure, type VisionReply, type VisionRequest } from './contract';
import { opencvReady } from './opencv';
import { decodeInBrowser } from './photo/decodeInBrowser';
import { createSession } from './session';

const post = (reply: VisionReply): void => self.postMessage(reply);

/** OpenCV reports a failed download only as a rejection that nobody handles. */
const opencvFailed = new Promise<never>((_, reject) => {
  self.addEventListener('unhandledrejection', () => {
    reject(
      new VisionFailure(
        'visionUnavailable',
        'The part of the program that reads photos could not be loaded. Check the connection and load the page again.',
      ),
    );
  });
});
opencvFailed.catch(() => undefined);
const ready = Promise.race([opencvReady(), opencvFailed]);
ready.then(
  () => post({ kind: 'ready' }),
  () => undefined,
);

const session = createSession({ decode: decodeInBrowser, ready: () => ready, post });
self.addEventListener('message', (event: MessageEvent<VisionRequest>) => {
  void session.handle(event.data);
});
