import type { ReactNode } from 'react';

/** Drawn on a 24 × 24 field with a 1.8 px pen; purely decorative, the name stands beside it or in a label. */
const icon = (drawing: ReactNode) => () => (
  <svg
    width="24"
    height="24"
    viewBox="0 0 24 24"
    fill="none"
    stroke="currentColor"
    strokeWidth="1.8"
    strokeLinecap="round"
    strokeLinejoin="round"
    aria-hidden="true"
    focusable="false"
  >
    {drawing}
  </svg>
);

/** Two knit stitches between two caliper jaws. */
export const MeasureIcon = icon(
  <>
    <path d="M3 5v14M21 5v14" />
    <path d="M7 6l5 4 5-4M7 13l5 4 5-4" />
  </>,
);

/** An open page with a pinned swatch. */
export const NotebookIcon = icon(
  <>
    <path d="M5 3.5h11.5l2.5 2.5v14.5H5z" />
    <path d="M8.5 8h5v5h-5zM8.5 17h7" />
  </>,
);

/** Two swatches on one base line. */
export const CompareIcon = icon(
  <>
    <path d="M3 19.5h18" />
    <path d="M4.5 8.5h6v8h-6zM13.5 5h6v11.5h-6z" />
  </>,
);

/** A cylinder from above, its needles around it. */
export const MachineIcon = icon(
  <>
    <circle cx="12" cy="12" r="5" />
    <path d="M12 2.5v3M12 18.5v3M2.5 12h3M18.5 12h3M5.3 5.3l2 2M16.7 16.7l2 2M5.3 18.7l2-2M16.7 7.3l2-2" />
  </>,
);

/** A sock on its side. */
export const PlanIcon = icon(
  <path d="M8 3h7v9.5l-4.2 6.3a3.6 3.6 0 0 1-5-1 3.6 3.6 0 0 1 .8-4.8L8 11.5zM8 6.5h7" />,
);

export const ThemeIcon = icon(
  <>
    <circle cx="12" cy="12" r="7.5" />
    <path d="M12 4.5a7.5 7.5 0 0 1 0 15z" fill="currentColor" stroke="none" />
  </>,
);

export const PlusIcon = icon(<path d="M12 5v14M5 12h14" />);
export const MinusIcon = icon(<path d="M5 12h14" />);

/** Four corners around the whole. */
export const FitIcon = icon(<path d="M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5" />);

export const UndoIcon = icon(<path d="M8 5L4 9l4 4M4 9h9.5a5.5 5.5 0 0 1 0 11H9" />);
export const RedoIcon = icon(<path d="M16 5l4 4-4 4M20 9h-9.5a5.5 5.5 0 0 0 0 11H15" />);
export const DoneIcon = icon(<path d="M5 12.5l4.5 4.5L19 7.5" />);
