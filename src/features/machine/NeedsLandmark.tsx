import { Link } from 'wouter';
import type { Id } from '../../domain/records';
import { machinePath } from './openMachine';

/** Where something cannot be done without a landmark: what to do first. */
export const NeedsLandmark = ({ machineId, why }: { readonly machineId: Id; readonly why: string }) => (
  <div className="machine-empty stack">
    <p>First say where you put the caliper, {why}.</p>
    <div className="row">
      <Link href={machinePath(machineId, 'landmarks/new')} className="button button--primary">
        Add a landmark
      </Link>
    </div>
  </div>
);
