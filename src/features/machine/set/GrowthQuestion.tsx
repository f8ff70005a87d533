import { useState } from 'react';
import type { LandmarkGrowth } from '../../../domain/landmarkRelationGrowth';
import type { LandmarkRecord } from '../../../domain/machineRecords';
import type { Storage } from '../../../storage/repository';
import { sentenceOf } from '../../../ui/sentenceOf';

interface Props {
  readonly storage: Storage;
  readonly landmark: LandmarkRecord;
}

/** Asks what has to be known before any direction can be given. */
export const GrowthQuestion = ({ storage, landmark }: Props) => {
  const [problem, setProblem] = useState<string | null>(null);
  const say = async (growth: LandmarkGrowth): Promise<void> => {
    const answered: LandmarkRecord = { ...landmark, growth };
    try {
      await storage.landmarks.save(answered);
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <div className="machine-card stack">
      <h3>As the stitch gets longer, does the reading grow or shrink?</h3>
      <p>
        At {landmark.name}. If you do not know, turn the nut half a turn looser and read again: that tells.
      </p>
      <div className="row">
        <button type="button" className="button" onClick={() => void say('grows')}>
          It grows
        </button>
        <button type="button" className="button" onClick={() => void say('shrinks')}>
          It shrinks
        </button>
      </div>
      {problem && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </div>
  );
};
