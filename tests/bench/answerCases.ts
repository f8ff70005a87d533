import { opencvReady } from '../../workers/opencv';

/**
 * Makes this one of several processes of the bench: it takes one case after another from its parent and answers each with its row, or with what went
 * wrong. Ends when the parent lets go.
 */
export const answerCases = async <Case extends { readonly name: string }>(
  rowOf: (benchCase: Case) => Promise<unknown>,
): Promise<void> => {
  await opencvReady();
  process.on('message', (benchCase: Case) => {
    rowOf(benchCase).then(
      (row) => process.send?.({ row }),
      (cause: unknown) =>
        process.send?.({
          fault: `${benchCase.name}: ${cause instanceof Error ? cause.message : String(cause)}`,
        }),
    );
  });
  process.on('disconnect', () => process.exit(0));
  process.send?.({ ready: true });
};
