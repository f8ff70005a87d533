/** A reference that is fitted again beside the fabric is still the same thing if its scale, where it lies, has changed by no more than this, ln. */
export const sameThing = 0.025;
