import type { ReactNode } from 'react';
import { readingCautions } from '../../../domain/caliperCautions';
import type { GrowthFinding, LandmarkGrowth } from '../../../domain/landmarkRelationGrowth';
import type { LandmarkRecord } from '../../../domain/machineRecords';
import type { Storage } from '../../../storage/repository';
import { Choices } from '../../../ui/fields/Choices';
import { jawNames, jaws } from '../../../ui/fields/jaws';
import { TextField } from '../../../ui/fields/TextField';
import { PhotoField } from '../../../ui/photoIn/PhotoField';
import { DraftForm } from '../DraftForm';
import { type DraftOutcome, useDraft } from '../useDraft';
import { JawDrawing } from './CaliperPicture';
import { PhotoDots } from './PhotoDots';

const growths: readonly (readonly [LandmarkGrowth | null, string])[] = [
  ['grows', 'Grows'],
  ['shrinks', 'Shrinks'],
  [null, 'Not sure'],
];

interface Props {
  readonly storage: Storage;
  readonly landmark: LandmarkRecord;
  /** What the swatches say; null for a landmark that is new. */
  readonly finding: GrowthFinding | null;
  readonly action: string;
  readonly onSaved: (landmark: LandmarkRecord) => void;
  readonly children?: ReactNode;
}

/** The landmark with what the form says, or one sentence about what is missing in it. */
const landmarkFrom = (draft: LandmarkRecord): DraftOutcome<LandmarkRecord> => {
  const name = draft.name.trim();
  const mark = draft.sloping ? draft.mark.trim() : '';
  if (name === '') return { sentence: 'Name the two points, such as "cam top to bed plate".' };
  if (draft.sloping && mark === '') {
    return {
      sentence:
        'A sloping surface has no one height: make a mark that you always measure to, and say which it is.',
    };
  }
  return { made: { ...draft, name, mark } };
};

/** Everything that is said about a landmark. Nothing is changed until it is saved. */
export const LandmarkForm = ({ storage, landmark, finding, action, onSaved, children }: Props) => {
  const { draft, change, saving } = useDraft({
    start: () => landmark,
    outcomeOf: landmarkFrom,
    keep: (made) => storage.landmarks.save(made),
    onSaved,
  });
  return (
    <DraftForm
      saving={saving}
      action={action}
      others={children}
      left={
        <>
          <TextField
            label="From where to where"
            value={draft.name}
            onChange={(name) => change({ name })}
            hint="Two points that you find again: scratch or paint a mark if there is none."
          />
          <Choices
            label="Which part of the caliper touches"
            options={jaws.map((jaw) => [jaw, jawNames[jaw]] as const)}
            chosen={draft.jaw}
            onChoose={(jaw) => change({ jaw })}
          />
          <div className="jaw-chosen">
            <JawDrawing jaw={draft.jaw} />
            <ul className="note note--warn small">
              {readingCautions(draft.jaw).map((caution) => (
                <li key={caution}>{caution}</li>
              ))}
            </ul>
          </div>
          <TextField
            label="How to find the points (if it helps)"
            value={draft.description}
            onChange={(description) => change({ description })}
          />
          <label className="tick">
            <input
              type="checkbox"
              checked={draft.sloping}
              onChange={(event) => change({ sloping: event.target.checked })}
            />
            <span>One of the surfaces slopes</span>
          </label>
          {draft.sloping && (
            <TextField
              label="The mark that you always measure to"
              value={draft.mark}
              onChange={(mark) => change({ mark })}
              hint="A few millimetres along a slope change the reading more than a turn of the nut: a mark keeps the place."
            />
          )}
        </>
      }
      right={
        <>
          <Choices
            label="As the stitch gets longer, this reading"
            options={growths}
            chosen={draft.growth}
            onChoose={(growth) => change({ growth })}
            hint="Turn the nut half a turn looser and read again, if you do not know."
          />
          {finding && (
            <p className={`note small${finding.agrees ? '' : ' note--problem'}`}>{finding.sentence}</p>
          )}
          <PhotoField
            storage={storage}
            label="Photo of the place (if you like)"
            photoId={draft.photoId}
            onChange={(photoId) => change({ photoId, dots: [] })}
            over={(url) => <PhotoDots url={url} dots={draft.dots} onChange={(dots) => change({ dots })} />}
          />
        </>
      }
    />
  );
};
