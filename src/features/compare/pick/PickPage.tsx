import { samplePhotos } from '../../../../sample-images';
import type { Id } from '../../../domain/records';
import type { Comparison } from '../../../store/compare';
import { MOST_SIDES } from '../../../store/compare';
import type { IncomingPhoto } from '../../../store/measureSessionTypes';
import type { Notebook } from '../../../store/notebook';
import { incomingFile, incomingSample } from '../../../ui/photoIn/incoming';
import { PhotoButtons } from '../../../ui/photoIn/PhotoButtons';
import { SampleCards } from '../../../ui/photoIn/SampleCards';
import { type ReadSide, useComparison } from '../useComparison';
import { PickList } from './PickList';
import { SideCard } from './SideCard';

interface Props {
  readonly comparison: Comparison;
  readonly notebook: Notebook;
  readonly sides: readonly ReadSide[];
  readonly onPick: (id: Id) => void;
  readonly onPhoto: (photo: IncomingPhoto) => void;
  /** Null while fewer than two can be compared. */
  readonly onCompare: (() => void) | null;
}

/** Samples that were knitted in one yarn at three settings: worth comparing. */
const worthComparing = samplePhotos.filter(({ name }) => name.startsWith('oatmeal'));

/** Choosing what is compared: from the notebook, from new photos, or from the samples. */
export const PickPage = ({ comparison, notebook, sides, onPick, onPhoto, onCompare }: Props) => {
  const remembered = useComparison(comparison, (state) => state.remembered);
  const picked = sides.flatMap(({ reading }) => (reading ? [reading.swatch.id] : []));
  const full = sides.length >= MOST_SIDES;
  return (
    <div className="page pick">
      <header className="stack">
        <h1>Which swatches shall lie side by side?</h1>
        <p>
          Pick two to four. The first is what the others are compared with: the yarn to match, or the swatch
          before it was washed.
        </p>
      </header>
      {sides.length > 0 && (
        <section className="stack" aria-label="Picked">
          <ul className="side-cards">
            {sides.map((entry) => (
              <SideCard
                key={entry.side.key}
                entry={entry}
                remembered={remembered}
                onRemove={() => comparison.remove(entry.side.key)}
              />
            ))}
          </ul>
          <button
            type="button"
            className="button button--primary pick-go"
            disabled={onCompare === null}
            onClick={onCompare ?? undefined}
          >
            {sides.length < 2 ? 'Pick one more' : 'Lay them side by side'}
          </button>
        </section>
      )}
      <div className="pick-sources">
        <section className="stack" aria-labelledby="pick-notebook">
          <h2 id="pick-notebook">From the notebook</h2>
          <PickList notebook={notebook} picked={picked} full={full} onPick={onPick} />
        </section>
        <section className="stack" aria-labelledby="pick-photo">
          <h2 id="pick-photo">From new photos</h2>
          <p className="soft">
            Drop them anywhere on this page, paste them, or choose them here. Each is measured and kept in the
            notebook as an unfinished swatch.
          </p>
          <PhotoButtons prominent={false} several onFile={(file) => onPhoto(incomingFile(file))} />
          <h3>Or try the samples</h3>
          <SampleCards
            samples={worthComparing}
            disabled={full}
            onChoose={({ name, url }) => onPhoto(incomingSample(name, url))}
          />
        </section>
      </div>
    </div>
  );
};
