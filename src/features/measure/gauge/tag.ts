import type { StitchFinding } from '../../../domain/measurement';
import type { GaugeSummary } from '../../../domain/records';
import type { ScaleDoubt } from '../../../domain/scaleDoubt';

/** The word or two that a number bears while it is not sure; null where it is. Lines that she found right herself say nothing of the scale. */
export const gaugeTag = (
  status: GaugeSummary['status'],
  finding: StitchFinding | null,
  scaleDoubts: readonly ScaleDoubt[],
): string | null => {
  const linesAreSure = status !== 'proposal' || finding?.confidence.status === 'measured';
  if (linesAreSure && scaleDoubts.length > 0)
    return scaleDoubts.some(({ asks }) => asks) ? 'scale in doubt' : 'limited by the scale';
  return status === 'proposal' ? 'proposal' : null;
};
