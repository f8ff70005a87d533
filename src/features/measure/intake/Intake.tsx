import { Link } from 'wouter';
import { samplePhotos } from '../../../../sample-images';
import type { Swatch } from '../../../domain/records';
import type { IncomingPhoto } from '../../../store/measureSessionTypes';
import { restStateNames } from '../../../store/notebookRows';
import { incomingFile, incomingSample } from '../../../ui/photoIn/incoming';
import { PhotoButtons } from '../../../ui/photoIn/PhotoButtons';
import { SampleCards } from '../../../ui/photoIn/SampleCards';

interface Props {
  readonly onPhoto: (photo: IncomingPhoto) => void;
  /** Goes back to the draft that was worked on last; null when there is none. */
  readonly onResume: (() => void) | null;
  /** The draft of a piece that is measured once more and waits for its photo; null when anything may come. */
  readonly again: Pick<Swatch, 'restState'> | null;
  readonly onNotAgain: () => void;
}

const PieceAgain = ({
  again,
  onNotAgain,
}: Pick<Props, 'onNotAgain'> & { readonly again: Pick<Swatch, 'restState'> }) => (
  <div className="note">
    <p>
      Yarn, machine and caliper reading are carried over
      {again.restState && `, and the fabric is noted as ${restStateNames[again.restState]}`}: bring its new
      photo.
    </p>
    <button type="button" className="button" onClick={onNotAgain}>
      Measure something else
    </button>
  </div>
);

/** The first thing to see: what to do in one sentence, the ways to bring a photo, and photos to try. */
export const Intake = ({ onPhoto, onResume, again, onNotAgain }: Props) => (
  <div className="page intake">
    <header className="intake-lead">
      <h1>{again ? 'Measure the same piece again' : 'Count a swatch from a photo'}</h1>
      {again && <PieceAgain again={again} onNotAgain={onNotAgain} />}
      <p>
        Lay the swatch flat on a cutting mat, photograph it from straight above, and bring the photo here:
        choose it, drop it anywhere on this page, or paste it.
      </p>
      <PhotoButtons prominent onFile={(file) => onPhoto(incomingFile(file))} />
      {onResume && (
        <button type="button" className="button" onClick={onResume}>
          Carry on with the last draft
        </button>
      )}
      <p className="small soft">
        A bank card or a ruler beside the swatch works too, and a{' '}
        <Link href="/sheet">reference sheet that you print yourself</Link> best of all. The photo stays on
        this device.
      </p>
    </header>
    <section aria-labelledby="samples-title" className="stack">
      <h2 id="samples-title">Or try one of these</h2>
      <SampleCards samples={samplePhotos} onChoose={({ name, url }) => onPhoto(incomingSample(name, url))} />
    </section>
  </div>
);
