import type { LandmarkRecord } from '../../domain/machineRecords';
import './photoDots.css';
import { type Photos, usePhoto } from './usePhoto';

interface Props {
  readonly storage: Photos;
  readonly landmark: Pick<LandmarkRecord, 'name' | 'photoId' | 'dots'>;
}

/** A landmark's photo with its two dots, to look at where a reading is taken. Nothing when there is none. */
export const LandmarkPhoto = ({ storage, landmark }: Props) => {
  const url = usePhoto(storage, landmark.photoId);
  if (!url) return null;
  return (
    <div className="photo-dots photo-dots--shown">
      <img src={url} alt={`Where to measure: ${landmark.name}`} />
      {landmark.dots.map((dot, index) => (
        <span
          key={`${dot.x} ${dot.y}`}
          className="photo-dot"
          aria-hidden="true"
          style={{ left: `${100 * dot.x}%`, top: `${100 * dot.y}%` }}
        >
          {index + 1}
        </span>
      ))}
    </div>
  );
};
