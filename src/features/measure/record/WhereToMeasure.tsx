import type { LandmarkRecord } from '../../../domain/machineRecords';
import { LandmarkPhoto } from '../../../ui/photoIn/LandmarkPhoto';
import type { Photos } from '../../../ui/photoIn/usePhoto';

interface Props {
  readonly storage: Photos;
  readonly landmark: LandmarkRecord;
}

/** Where the caliper goes at the chosen landmark: her sentence, her mark on a slope, and the photo with its two dots. */
export const WhereToMeasure = ({ storage, landmark }: Props) => (
  <>
    {landmark.mark && <p>Measure to {landmark.mark}.</p>}
    {landmark.description && <p className="small">{landmark.description}</p>}
    <LandmarkPhoto storage={storage} landmark={landmark} />
  </>
);
