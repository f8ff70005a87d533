import type { CameraFacts } from '../../src/domain/camera';
import type { ScaleContext } from './kind';

/** The camera of the work image: its size in work px, and the focal length that the photo says. */
export const workCamera = ({ work, photo }: Pick<ScaleContext, 'work' | 'photo'>): CameraFacts => ({
  widthPx: work.image.widthPx,
  heightPx: work.image.heightPx,
  focalLength35Mm: photo.focalLength35Mm,
});
