import type { CaliperReading } from '../../../domain/records';
import type { TurnCalibrationAnswer } from '../../../domain/turns';
import { formatUncertain } from '../../../domain/units';
import { lengthWords } from '../words';

interface Props {
  readonly answer: TurnCalibrationAnswer;
  readonly unit: CaliperReading['unit'];
  /** Whether the measured sign is the one that machine and landmark state; null while that cannot be told. */
  readonly agrees: boolean | null;
}

/** How far a turn of the nut goes, and how much of it play eats. */
export const TravelFigure = ({ answer, unit, agrees }: Props) => {
  if (answer.kind === 'tooLittle') {
    return <p className="note">{answer.sentence}</p>;
  }
  const { travelPerTurnMm, playTurns, nominalOnly, readings } = answer;
  const larger = travelPerTurnMm.value > 0;
  return (
    <div className="figures figures--row" data-testid="travel">
      <p>
        <strong>{lengthWords(Math.abs(travelPerTurnMm.value), travelPerTurnMm.plusMinus95, unit)}</strong>
        <span>a turn; clockwise makes the reading {larger ? 'larger' : 'smaller'}</span>
      </p>
      <p>
        <strong>
          {playTurns ? `${formatUncertain(playTurns.value, playTurns.plusMinus95)} turn` : 'not known'}
        </strong>
        <span>
          {playTurns ? 'of play: turns back that move nothing yet' : 'play: record a turn back as well'}
        </span>
      </p>
      <p className="small soft">
        {nominalOnly
          ? 'From the thread’s pitch as you typed it; counted turns will replace it.'
          : `From ${readings} readings; each further record makes it surer.`}
      </p>
      {agrees === false && (
        <p className="note note--problem small">
          The measured turns move this reading the other way than the profile and the landmark say. What was
          measured counts; check which way is looser, and whether the reading grows with the stitch.
        </p>
      )}
      {answer.remarks.map((remark) => (
        <p key={remark} className="note small">
          {remark}
        </p>
      ))}
    </div>
  );
};
