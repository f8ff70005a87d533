import { opencvReady } from '../../workers/opencv';
import type { BenchCase } from './row';
import { runCase } from './runCase';

// One of several processes that measure photos for the bench: takes a case, answers with its row.
await opencvReady();
process.on('message', (benchCase: BenchCase) => {
  runCase(benchCase).then(
    (row) => process.send?.({ row }),
    (cause: unknown) =>
      process.send?.({
        fault: `${benchCase.name}: ${cause instanceof Error ? cause.message : String(cause)}`,
      }),
  );
});
process.on('disconnect', () => process.exit(0));
process.send?.({ ready: true });
