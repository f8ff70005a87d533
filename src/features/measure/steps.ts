/** The four steps from a photo to a record, in their order. */
export const steps = ['scale', 'stitches', 'gauge', 'record'] as const;
export type Step = (typeof steps)[number];

export const stepNames: Readonly<Record<Step, string>> = {
  scale: 'Scale',
  stitches: 'Stitches',
  gauge: 'Gauge',
  record: 'Record',
};
