import { Link } from 'wouter';
import { type LandmarkRecord, openQuestions } from '../../../domain/machineRecords';
import { jawNames } from '../../../ui/fields/jaws';
import { machinePath, type OpenMachine } from '../openMachine';
import { CaliperPicture } from './CaliperPicture';

const growthWords = { grows: 'grows with the stitch', shrinks: 'shrinks with the stitch' } as const;

const Line = ({ open, landmark }: { readonly open: OpenMachine; readonly landmark: LandmarkRecord }) => {
  const { knowledge } = open;
  const finding = knowledge.growthFinding(landmark.id);
  const growth = knowledge.growth(landmark.id);
  const questions = openQuestions({ ...landmark, growth });
  return (
    <li>
      <Link href={machinePath(open.machine.id, `landmarks/${landmark.id}`)}>
        <strong>{landmark.name}</strong>
        <span className="small soft">
          {[jawNames[landmark.jaw], growth && growthWords[growth], landmark.mark && `to ${landmark.mark}`]
            .filter(Boolean)
            .join(' · ')}
        </span>
        {landmark.description && <span className="small">{landmark.description}</span>}
        {[...questions, ...(finding.agrees ? [] : [finding.sentence])].map((sentence) => (
          <span key={sentence} className="small machine-question">
            {sentence}
          </span>
        ))}
      </Link>
    </li>
  );
};

/** The pairs of points that she measures between, and what the three kinds of measurement look like. */
export const LandmarksPage = ({ open }: { readonly open: OpenMachine }) => {
  const { machine, landmarks } = open;
  return (
    <section className="stack" aria-label="Landmarks">
      <p>
        A landmark is a pair of points that you measure between with a caliper. Pick one you can reach without
        force and find again in a year; two or three are plenty.
      </p>
      {landmarks.length > 0 && (
        <ul className="machine-lines" aria-label="Landmarks">
          {landmarks.map((landmark) => (
            <Line key={landmark.id} open={open} landmark={landmark} />
          ))}
        </ul>
      )}
      <div className="row">
        <Link
          href={machinePath(machine.id, 'landmarks/new')}
          className={`button${landmarks.length === 0 ? ' button--primary' : ''}`}
        >
          Add a landmark
        </Link>
        {landmarks.length > 1 && (
          <Link href={machinePath(machine.id, 'landmarks/between')} className="button">
            From one landmark to another
          </Link>
        )}
      </div>
      <h2>Three ways to measure</h2>
      <CaliperPicture />
    </section>
  );
};
