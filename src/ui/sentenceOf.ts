/** The sentence that an error carries for the user. */
export const sentenceOf = (error: unknown): string =>
  error instanceof Error && 'sentence' in error ? String(error.sentence) : String(error);
