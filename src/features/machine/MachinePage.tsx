import { Link, Route, Switch, useLocation } from 'wouter';
import type { Id } from '../../domain/records';
import type { MachineShop } from '../../store/machineShop';
import { BetweenPage } from './between/BetweenPage';
import { GaugePage } from './gauge/GaugePage';
import { LandmarkPage } from './landmarks/LandmarkPage';
import { LandmarksPage } from './landmarks/LandmarksPage';
import { Overview } from './Overview';
import { machinePath, type OpenMachine, useBook } from './openMachine';
import { ProfilePage } from './profile/ProfilePage';
import { GuidePage } from './set/GuidePage';
import { SetPage } from './set/SetPage';
import { TurnsPage } from './turns/TurnsPage';

const pages = [
  ['', 'Overview'],
  ['set', 'Set the cam'],
  ['gauge', 'Gauge'],
  ['turns', 'Turns'],
  ['landmarks', 'Landmarks'],
  ['profile', 'Profile'],
] as const;

const Pages = ({ machineId }: { readonly machineId: Id }) => {
  const [location] = useLocation();
  const here = location.split('/')[3] ?? '';
  return (
    <nav className="machine-pages" aria-label="This machine">
      {pages.map(([page, name]) => (
        <Link
          key={page}
          href={machinePath(machineId, page)}
          aria-current={here === page ? 'page' : undefined}
        >
          {name}
        </Link>
      ))}
    </nav>
  );
};

const Sections = ({ open }: { readonly open: OpenMachine }) => (
  <Switch>
    <Route path="/machine/:id">
      <Overview open={open} />
    </Route>
    <Route path="/machine/:id/profile">
      <ProfilePage open={open} />
    </Route>
    <Route path="/machine/:id/landmarks">
      <LandmarksPage open={open} />
    </Route>
    <Route path="/machine/:id/landmarks/between">
      <BetweenPage open={open} />
    </Route>
    <Route path="/machine/:id/landmarks/:landmarkId">
      {({ landmarkId }) => <LandmarkPage key={landmarkId} open={open} landmarkId={landmarkId} />}
    </Route>
    <Route path="/machine/:id/turns">
      <TurnsPage open={open} />
    </Route>
    <Route path="/machine/:id/gauge">
      <GaugePage open={open} />
    </Route>
    <Route path="/machine/:id/set">
      <SetPage open={open} />
    </Route>
    <Route path="/machine/:id/set/:logId">
      {({ logId }) => <GuidePage key={logId} open={open} logId={logId} />}
    </Route>
    <Route>
      <p>
        There is nothing at this address.{' '}
        <Link href={machinePath(open.machine.id)}>Go to {open.machine.name}</Link>
      </p>
    </Route>
  </Switch>
);

interface Props {
  readonly shop: MachineShop;
  readonly machineId: Id;
}

/** One machine under its name, with a page for each thing that is kept of it. */
export const MachinePage = ({ shop, machineId }: Props) => {
  const { status, contents, yarns, knowledge, problem } = useBook(shop.storage, machineId);
  if (status === 'missing') {
    return (
      <p className="machine-empty">
        This machine is not in the notebook. <Link href="/machine">All machines</Link>
      </p>
    );
  }
  if (!contents || !knowledge) {
    return problem ? <p className="note note--problem">{problem}</p> : null;
  }
  const open: OpenMachine = { ...contents, shop, storage: shop.storage, yarns, knowledge };
  return (
    <div className="machine-body">
      <header className="machine-head">
        <Link href="/machine" className="small machine-back">
          All machines
        </Link>
        <h1>{contents.machine.name}</h1>
      </header>
      <Pages machineId={machineId} />
      {problem && <p className="note note--problem">{problem}</p>}
      <Sections open={open} />
    </div>
  );
};
