import type { CamStep } from '../../../domain/machineRecords';
import { turnCount } from '../../../domain/setCamTurns';
import { formatLength } from '../../../domain/units';

const adviceOf = ({ direction, turns, pastTurns, insideTolerance }: CamStep): string => {
  if (insideTolerance || direction === null) return 'inside tolerance';
  const past = pastTurns > 0 ? `, ${turnCount(pastTurns).text} past and back` : '';
  return `${turnCount(turns).text} ${direction}${past}`;
};

/** The steps of a journey to a setting, first to last. */
export const StepList = ({ steps }: { readonly steps: readonly CamStep[] }) => (
  <ol className="step-list" aria-label="Steps so far">
    {steps.map((step) => (
      <li key={step.id}>
        <strong>{formatLength(step.presentMm, step.reading.unit)}</strong>
        <span>{adviceOf(step)}</span>
      </li>
    ))}
  </ol>
);
