import { useEffect, useState } from 'react';
import type { Id, Yarn } from '../../../domain/records';
import type { Storage } from '../../../storage/repository';
import { ColourDot } from './ColourDot';
import { colourOfSwatches, type SeenColour } from './seenColour';

interface Props {
  readonly storage: Pick<Storage, 'readSwatch' | 'getPhoto'>;
  /** The yarn's swatches with a photo and a gauge, newest first. */
  readonly swatchIds: readonly Id[];
  readonly yarn: Pick<Yarn, 'colour' | 'seenColour'>;
  readonly onChange: (change: Partial<Yarn>) => void;
}

/** For a yarn without a colour: the one that its newest swatch's photo shows, to be taken with one tap. */
export const ColourFromPhoto = ({ storage, swatchIds, yarn, onChange }: Props) => {
  const [seen, setSeen] = useState<SeenColour | null>(null);
  const wanted = yarn.colour.trim() === '' && !yarn.seenColour;
  const key = swatchIds.slice(0, 3).join(' ');
  useEffect(() => {
    if (!wanted || key === '') return;
    let gone = false;
    colourOfSwatches(storage, key.split(' ')).then(
      (found) => {
        if (!gone) setSeen(found);
      },
      // Only a suggestion: without it the field is filled in by hand.
      () => undefined,
    );
    return () => {
      gone = true;
    };
  }, [storage, wanted, key]);

  if (yarn.seenColour) {
    return (
      <p className="row small">
        <span>
          <ColourDot hex={yarn.seenColour} /> Colour as a swatch photo shows it
        </span>
        <button type="button" className="button button--quiet" onClick={() => onChange({ seenColour: null })}>
          Without it
        </button>
      </p>
    );
  }
  if (!wanted || !seen) return null;
  return (
    <p className="row small">
      <span>
        <ColourDot hex={seen.hex} /> In the photo of its swatch the yarn looks {seen.word}.
      </span>
      <button
        type="button"
        className="button"
        onClick={() => onChange({ colour: seen.word, seenColour: seen.hex })}
      >
        Take this colour
      </button>
    </p>
  );
};
