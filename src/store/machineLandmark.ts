import type { LandmarkRecord } from '../domain/machineRecords';
import type { MachineContents } from '../storage/machineShelf';

/** The landmark that is used most: the one with the most swatches, then the most turns, then the first; none without any. */
export const usualLandmark = ({
  landmarks,
  swatches,
  turns,
}: Pick<MachineContents, 'landmarks' | 'swatches' | 'turns'>): LandmarkRecord | undefined => {
  const uses = (id: string): number =>
    1000 * swatches.filter(({ reading }) => reading?.landmarkId === id).length +
    turns.filter(({ landmarkId }) => landmarkId === id).length;
  return [...landmarks].sort((a, b) => uses(b.id) - uses(a.id))[0];
};
