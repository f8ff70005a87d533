import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { withProfile } from '../../../domain/machineRecords';
import { blankMachine } from '../../../storage/blank';
import type { MachineShop } from '../../../store/machineShop';
import { machinePath } from '../openMachine';
import { ProfileForm } from './ProfileForm';

/** The form for a machine that is not in the notebook yet. */
export const NewMachine = ({ shop }: { readonly shop: MachineShop }) => {
  const [, navigate] = useLocation();
  const [machine] = useState(() => withProfile(blankMachine('')));
  return (
    <div className="machine-body">
      <header className="machine-head">
        <Link href="/machine" className="small machine-back">
          All machines
        </Link>
        <h1>A new machine</h1>
      </header>
      <ProfileForm
        storage={shop.storage}
        machine={machine}
        action="Add this machine"
        onSaved={({ id }) => navigate(machinePath(id), { replace: true })}
      />
    </div>
  );
};
