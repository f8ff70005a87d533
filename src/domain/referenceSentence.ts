/** What a sentence about a reference states, without the question at its end: that one is asked elsewhere, with its answers. */
export const statementsIn = (sentence: string): string => sentence.replace(/\s*[^.!?]*\?\s*$/, '');
