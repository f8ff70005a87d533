import { useState } from 'react';
import { useLocation } from 'wouter';
import { newId, now } from '../../../storage/ids';
import type { CamTarget } from '../../../store/machineTarget';
import { sentenceOf } from '../../../ui/sentenceOf';
import { machinePath, type OpenMachine } from '../openMachine';

/** Begins a journey to a target: keeps it in the notebook and opens its page. */
export const useJourney = ({ storage, machine }: Pick<OpenMachine, 'storage' | 'machine'>) => {
  const [, navigate] = useLocation();
  const [problem, setProblem] = useState<string | null>(null);
  const begin = async (target: CamTarget): Promise<void> => {
    const id = newId();
    try {
      await storage.saveCamLog({
        ...target,
        id,
        machineId: machine.id,
        steps: [],
        startedAt: now(),
        finishedAt: null,
      });
      navigate(machinePath(machine.id, `set/${id}`));
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return { begin: (target: CamTarget) => void begin(target), problem };
};
