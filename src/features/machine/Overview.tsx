import { Link } from 'wouter';
import { openQuestions } from '../../domain/machineRecords';
import { formatLength } from '../../domain/units';
import { usualLandmark } from '../../store/machineLandmark';
import { usePhoto } from '../../ui/photoIn/usePhoto';
import { machinePath, type OpenMachine } from './openMachine';
import { dayWords, lengthWords } from './words';

const plural = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

const landmarkLine = ({ landmarks, knowledge }: OpenMachine): string => {
  if (landmarks.length === 0) return 'None yet: say where you put the caliper.';
  const open = landmarks.flatMap((one) => openQuestions({ ...one, growth: knowledge.growth(one.id) })).length;
  return [
    landmarks.map(({ name }) => name).join(', '),
    open > 0 && plural(open, 'open question', 'open questions'),
  ]
    .filter(Boolean)
    .join(' · ');
};

const turnsLine = (open: OpenMachine): string => {
  const landmark = usualLandmark(open);
  const answer = landmark && open.knowledge.calibration(landmark.id);
  if (answer?.kind !== 'calibration') return 'Not measured yet: count turns once, and advice comes in turns.';
  const { value, plusMinus95 } = answer.travelPerTurnMm;
  const words = `${lengthWords(Math.abs(value), plusMinus95, open.knowledge.unit)} a turn at ${landmark?.name}`;
  return answer.nominalOnly ? `${words}, from the thread’s pitch only` : words;
};

const gaugeLine = ({ swatches }: OpenMachine): string => {
  if (swatches.length === 0) return 'No swatch of this machine yet.';
  const yarns = new Set(swatches.map(({ yarnId }) => yarnId)).size;
  return `${plural(swatches.length, 'swatch', 'swatches')} of ${plural(yarns, 'yarn', 'yarns')}`;
};

const profileLine = ({ machine }: OpenMachine): string =>
  [
    machine.mountedNeedles === null
      ? 'no cylinder mounted'
      : `the ${machine.mountedNeedles}-needle cylinder is mounted`,
    `${machine.looserDirection} loosens`,
  ].join(' · ');

/** The setting that was reached last, or is on the way. */
const LastSetting = ({ open }: { readonly open: OpenMachine }) => {
  const log = open.camLogs.findLast(({ steps }) => steps.length > 0);
  const step = log?.steps.at(-1);
  if (!log || !step) return null;
  return (
    <Link href={machinePath(open.machine.id, `set/${log.id}`)} className="last-setting">
      <span className="small soft">
        {log.finishedAt === null ? 'On the way to' : 'Set on'}{' '}
        {log.finishedAt === null ? log.goal : dayWords(log.finishedAt)}
      </span>
      <span className="setting-figure">{formatLength(step.presentMm, step.reading.unit)}</span>
      {log.finishedAt !== null && <span>{log.goal}</span>}
    </Link>
  );
};

/** A machine at a glance: where the cam was set last, and what is known and still missing. */
export const Overview = ({ open }: { readonly open: OpenMachine }) => {
  const { machine } = open;
  const photo = usePhoto(open.storage, machine.photoId);
  const lines = [
    ['landmarks', 'Landmarks', landmarkLine(open)],
    ['turns', 'Turns', turnsLine(open)],
    ['gauge', 'Gauge', gaugeLine(open)],
    ['profile', 'Profile', profileLine(open)],
  ] as const;
  return (
    <section className="machine-columns" aria-label="Overview">
      <div className="stack">
        <LastSetting open={open} />
        <div className="row">
          <Link
            href={machinePath(machine.id, open.landmarks.length === 0 ? 'landmarks/new' : 'set')}
            className="button button--primary"
          >
            {open.landmarks.length === 0 ? 'Add the first landmark' : 'Set the cam'}
          </Link>
        </div>
        <ul className="machine-lines" aria-label="What is known">
          {lines.map(([page, name, line]) => (
            <li key={page}>
              <Link href={machinePath(machine.id, page)}>
                <strong>{name}</strong>
                <span className="small soft">{line}</span>
              </Link>
            </li>
          ))}
        </ul>
      </div>
      <div className="stack">
        {photo && <img className="machine-photo" src={photo} alt={machine.name} />}
        {machine.notes.trim() !== '' && <p className="machine-notes">{machine.notes}</p>}
      </div>
    </section>
  );
};
