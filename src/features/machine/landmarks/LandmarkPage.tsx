import { useState } from 'react';
import { Link, useLocation } from 'wouter';
import { type LandmarkRecord, withLandmarkProfile } from '../../../domain/machineRecords';
import type { Id } from '../../../domain/records';
import { blankLandmark } from '../../../storage/blank';
import { sentenceOf } from '../../../ui/sentenceOf';
import { machinePath, type OpenMachine } from '../openMachine';
import { LandmarkForm } from './LandmarkForm';

interface Props {
  readonly open: OpenMachine;
  /** `new` for one that is not stored yet. */
  readonly landmarkId: Id;
}

/** One landmark: what is known of it. */
export const LandmarkPage = ({ open, landmarkId }: Props) => {
  const { machine, landmarks, knowledge, storage, shop } = open;
  const [, navigate] = useLocation();
  const [refusal, setRefusal] = useState<string | null>(null);
  const [blank] = useState(() => withLandmarkProfile(blankLandmark(machine.id, '')));
  const stored = landmarks.find(({ id }) => id === landmarkId);
  const list = machinePath(machine.id, 'landmarks');
  if (!stored && landmarkId !== 'new') {
    return (
      <p className="machine-empty">
        There is no such landmark any more. <Link href={list}>All landmarks</Link>
      </p>
    );
  }
  const remove = async (landmark: LandmarkRecord): Promise<void> => {
    try {
      const outcome = await storage.landmarks.remove(landmark.id);
      if (outcome?.kind === 'inUse') {
        setRefusal(outcome.sentence);
        return;
      }
      shop.offerUndo({
        sentence: `The landmark ${landmark.name} is deleted.`,
        undo: () => storage.landmarks.save(landmark),
      });
      navigate(list);
    } catch (error) {
      setRefusal(sentenceOf(error));
    }
  };
  return (
    <section className="stack" aria-labelledby="landmark-title">
      <h2 id="landmark-title">{stored?.name ?? 'A new landmark'}</h2>
      <LandmarkForm
        storage={storage}
        landmark={stored ?? blank}
        finding={stored ? knowledge.growthFinding(stored.id) : null}
        action={stored ? 'Save the landmark' : 'Add this landmark'}
        onSaved={() => {
          if (!stored) navigate(list, { replace: true });
        }}
      >
        {stored && (
          <button type="button" className="button" onClick={() => void remove(stored)}>
            Delete the landmark
          </button>
        )}
      </LandmarkForm>
      {refusal && (
        <p className="note note--problem" role="alert">
          {refusal}
        </p>
      )}
    </section>
  );
};
