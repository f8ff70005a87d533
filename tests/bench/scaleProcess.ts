import { opencvReady } from '../../workers/opencv';
import { type ScaleCase, scalePhoto, scaleRow } from './scaleCase';

// One of several processes that find scales for the bench: takes a case, answers with its row.
await opencvReady();
process.on('message', (scaleCase: ScaleCase) => {
  scalePhoto(scaleCase)
    .then((photo) => scaleRow(scaleCase, photo))
    .then(
      (row) => process.send?.({ row }),
      (cause: unknown) =>
        process.send?.({
          fault: `${scaleCase.name}: ${cause instanceof Error ? cause.message : String(cause)}`,
        }),
    );
});
process.on('disconnect', () => process.exit(0));
process.send?.({ ready: true });
