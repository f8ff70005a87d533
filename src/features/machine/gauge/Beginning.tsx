import { Link } from 'wouter';
import type { CamSelection } from '../../../domain/camFitRecords';
import { beginningFor } from '../../../store/machineWish';
import type { OpenMachine } from '../openMachine';

interface Props {
  readonly open: OpenMachine;
  readonly selection: CamSelection;
}

/** For a yarn without a swatch: where to begin, from its weight. */
export const Beginning = ({ open, selection }: Props) => {
  const yarn = open.yarns.find(({ id }) => id === selection.yarnId);
  const start = beginningFor(yarn?.tex ?? null, selection.restState ?? null);
  if (!start) {
    return (
      <p className="note">
        Without a swatch the yarn’s weight gives a place to begin.{' '}
        <Link href={`/notebook/yarns/${selection.yarnId}`}>Say what its band says</Link>
      </p>
    );
  }
  return (
    <div className="note">
      <p>{start.sentence}</p>
      <details>
        <summary>Where that comes from</summary>
        <ul className="small stack">
          {start.sources.map((source) => (
            <li key={source}>{source}</li>
          ))}
        </ul>
      </details>
    </div>
  );
};
