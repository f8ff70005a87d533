import { useEffect } from 'react';
import { Route, Switch } from 'wouter';
import type { MachineShop } from '../../store/machineShop';
import { appMachineShop } from '../../store/machineShopApp';
import { MachineList } from './MachineList';
import { MachinePage } from './MachinePage';
import './gauge/gauge.css';
import './landmarks/landmarks.css';
import './machine.css';
import './set/set.css';
import { useShop } from './openMachine';
import { NewMachine } from './profile/NewMachine';
import { UndoBar } from './UndoBar';

/** All pages about machines. */
export const MachinePages = ({ shop }: { readonly shop: MachineShop }) => {
  useEffect(() => shop.follow(), [shop]);
  const problem = useShop(shop, (state) => state.problem);
  return (
    <div className="machine">
      {problem && (
        <p className="note note--problem" role="alert">
          {problem}
        </p>
      )}
      <Switch>
        <Route path="/machine">
          <MachineList shop={shop} />
        </Route>
        <Route path="/machine/new">
          <NewMachine shop={shop} />
        </Route>
        <Route path="/machine/:machineId/*?">
          {({ machineId }) => <MachinePage key={machineId} shop={shop} machineId={machineId} />}
        </Route>
      </Switch>
      <UndoBar shop={shop} />
    </div>
  );
};

const MachineScreen = () => <MachinePages shop={appMachineShop()} />;

export default MachineScreen;
