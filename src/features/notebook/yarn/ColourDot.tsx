/** A round dot in a yarn's colour; the word beside it says the same. */
export const ColourDot = ({ hex }: { readonly hex: string }) => (
  <svg className="colour-dot" width="20" height="20" viewBox="0 0 20 20" aria-hidden="true" focusable="false">
    <circle cx="10" cy="10" r="9" fill={hex} stroke="var(--edge-strong)" />
  </svg>
);
