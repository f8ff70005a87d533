import { Link } from 'wouter';
import type { MachineRecord } from '../../domain/machineRecords';
import type { MachineShop } from '../../store/machineShop';
import { machinePath, useShop } from './openMachine';

const factsOf = ({ cylinders, mountedNeedles }: MachineRecord, swatches: number): string =>
  [
    cylinders.length === 0
      ? 'no cylinder yet'
      : `${cylinders.map(({ needles }) => needles).join(', ')} needles`,
    mountedNeedles !== null && cylinders.length > 1 && `${mountedNeedles} mounted`,
    swatches === 1 ? '1 swatch' : `${swatches} swatches`,
  ]
    .filter(Boolean)
    .join(' · ');

/** All machines; the first thing to see. */
export const MachineList = ({ shop }: { readonly shop: MachineShop }) => {
  const ready = useShop(shop, (state) => state.ready);
  const machines = useShop(shop, (state) => state.machines);
  const swatches = useShop(shop, (state) => state.swatches);
  return (
    <div className="stack">
      <header className="machine-head">
        <h1>Machines</h1>
        {machines.length > 0 && (
          <Link href="/machine/new" className="button">
            Add a machine
          </Link>
        )}
      </header>
      {ready && machines.length === 0 && (
        <div className="machine-empty stack">
          <p>
            A machine keeps what it takes to get back to a setting: the points you measure between, how far a
            turn of the nut goes, and the swatches you knitted.
          </p>
          <div className="row">
            <Link href="/machine/new" className="button button--primary">
              Add your machine
            </Link>
          </div>
        </div>
      )}
      {machines.length > 0 && (
        <ul className="machine-lines" aria-label="Machines">
          {machines.map((machine) => (
            <li key={machine.id}>
              <Link href={machinePath(machine.id)}>
                <strong>{machine.name}</strong>
                <span className="small soft">{factsOf(machine, swatches.get(machine.id) ?? 0)}</span>
              </Link>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
};
