import type { Ref } from 'react';
import type { CaliperReading } from '../../../domain/records';
import { turnWords } from '../../../domain/setCamTurns';
import type { GuideStep } from '../../../store/machineGuide';
import { lengthWords } from '../words';
import { NutPicture } from './NutPicture';

interface Props {
  readonly ref: Ref<HTMLDivElement>;
  readonly step: GuideStep;
  readonly unit: CaliperReading['unit'];
}

/** What comes after turning, or instead of it. */
const whatThen = ({ guidance }: GuideStep, unit: Props['unit']): string => {
  const { insideTolerance, sentence, expectedMm, plusMinus95Mm } = guidance;
  if (insideTolerance) return sentence;
  return expectedMm === null || plusMinus95Mm === null
    ? 'Then measure again: how far a turn goes is not known yet.'
    : `Then measure again: ${lengthWords(expectedMm, plusMinus95Mm, unit)} is expected.`;
};

/** What to do with the nut now, to be read at arm's length. */
export const Advice = ({ ref, step, unit }: Props) => {
  const { guidance, presentMm, plusMinus95Mm } = step;
  const { turns, past, direction, looserOrTighter } = guidance;
  return (
    <div ref={ref} className="advice" role="status" tabIndex={-1} data-testid="advice">
      {guidance.insideTolerance ? (
        <p className="advice-there">
          <strong>You are there.</strong>
        </p>
      ) : (
        <>
          <NutPicture guidance={guidance} />
          <p className="advice-turn">
            <strong>
              {turns.turns === 0 && past
                ? `${turnWords(past)} ${direction}, and back`
                : `${turnWords(turns)} ${direction}`}
            </strong>
            <span>
              {looserOrTighter}
              {past && turns.turns > 0 && `; go ${past.text} past and come back`}
            </span>
          </p>
        </>
      )}
      <p>{whatThen(step, unit)}</p>
      <p className="small soft">Now {lengthWords(presentMm, plusMinus95Mm, unit)}.</p>
      {guidance.cautions.length > 0 && (
        <ul className="note note--warn small">
          {guidance.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      )}
    </div>
  );
};
