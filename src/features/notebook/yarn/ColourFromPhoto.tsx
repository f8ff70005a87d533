import { useEffect, useRef } from 'react';
import type { Id, Yarn } from '../../../domain/records';
import type { Storage } from '../../../storage/repository';
import { ColourDot } from './ColourDot';
import { colourOfSwatches } from './seenColour';

interface Props {
  readonly storage: Pick<Storage, 'readSwatch' | 'getPhoto'>;
  /** The yarn's swatches with a photo and a gauge, newest first. */
  readonly swatchIds: readonly Id[];
  /** Its seen colour is null once she has said that she does without one. */
  readonly yarn: Pick<Yarn, 'colour' | 'seenColour'>;
  /** Called with the colour that a photo shows, as #rrggbb; it is to be kept at once. */
  readonly onTaken: (seenColour: string) => void;
  readonly onWithout: () => void;
}

/** Gives a yarn without a colour the one that its newest swatch's photo shows; it can be taken away again. */
export const ColourFromPhoto = ({ storage, swatchIds, yarn, onTaken, onWithout }: Props) => {
  const taken = useRef(onTaken);
  taken.current = onTaken;
  const wanted = yarn.colour.trim() === '' && yarn.seenColour === undefined;
  const key = swatchIds.slice(0, 3).join(' ');
  useEffect(() => {
    if (!wanted || key === '') return;
    let gone = false;
    colourOfSwatches(storage, key.split(' ')).then(
      (found) => {
        if (!gone && found) taken.current(found.hex);
      },
      // Without a photo that can be read, the field is filled in by hand.
      () => undefined,
    );
    return () => {
      gone = true;
    };
  }, [storage, wanted, key]);

  if (!yarn.seenColour) return null;
  return (
    <p className="row small">
      <span>
        <ColourDot hex={yarn.seenColour} /> Colour as a swatch photo shows it
      </span>
      <button type="button" className="button button--quiet" onClick={onWithout}>
        Without it
      </button>
    </p>
  );
};
