import { useEffect, useState } from 'react';
import type { SheetPicture } from '../../../domain/compareViewFlat';
import type { SessionPhoto } from '../../../store/measureSessionState';
import { type FlatImage, flatImage } from './flatImage';
import type { Size } from './warp';

/** What has become of the flat picture. */
export type FlatImageState =
  | { readonly kind: 'drawing' }
  | { readonly kind: 'ready'; readonly image: FlatImage }
  | { readonly kind: 'failed' };

const drawing: FlatImageState = { kind: 'drawing' };

/** Draws a photo flat, once for each photo and plane map. `shape` names the map: a new name draws anew. */
export const useFlatImage = (
  photo: SessionPhoto,
  size: Size,
  picture: SheetPicture,
  shape: string,
): FlatImageState => {
  const [state, setState] = useState<FlatImageState>(drawing);
  const { width, height } = size;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the picture is a new object at every edit, its shape is not
  useEffect(() => {
    let gone = false;
    setState(drawing);
    void flatImage(new Blob([photo.bytes], { type: photo.mime }), { width, height }, picture).then(
      (image) => {
        if (!gone) setState(image ? { kind: 'ready', image } : { kind: 'failed' });
      },
    );
    return () => {
      gone = true;
    };
  }, [photo, width, height, shape]);
  return state;
};
