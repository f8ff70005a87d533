import type { GreyImage } from '../image';
import { type Cv, type Mat, scope, type Track } from '../opencv';
import type { Corner } from './quads';

/** A square mark that was read: its number and its corners clockwise from its own upper left, px of the picture. */
export interface SeenMark {
  readonly id: number;
  readonly corners: readonly Corner[];
}

interface Handle {
  delete(): void;
}

/** What OpenCV has for reading marks; its own type declarations leave it out. */
interface MarkReading {
  readonly DICT_4X4_50: number;
  getPredefinedDictionary(name: number): Handle;
  aruco_DetectorParameters: new () => Handle & {
    adaptiveThreshWinSizeMin: number;
    adaptiveThreshWinSizeMax: number;
    minMarkerPerimeterRate: number;
  };
  aruco_RefineParameters: new (
    leastRepDistance: number,
    errorRate: number,
    checkAllOrders: boolean,
  ) => Handle;
  aruco_ArucoDetector: new (
    dictionary: Handle,
    settings: Handle,
    refine: Handle,
  ) => Handle & { detectMarkers(image: Mat, corners: Handle, ids: Mat): void };
}

const canReadMarks = (cv: Cv): cv is Cv & MarkReading => 'aruco_ArucoDetector' in cv;

/** Side of the squares over which brightness is compared, px, in a picture of about 1000 px: wider than a cell, narrower than a mark. */
const thresholdWindowPx = 25;
/** Smallest outline of a mark as a share of the picture's longer side: 20 px a side in 1000 px. */
const leastPerimeterRate = 0.08;

const bytesOf = (image: GreyImage, track: Track, make: () => Mat): Mat => {
  const mat = track(make());
  const bytes = mat.data as Uint8Array;
  for (let i = 0; i < image.data.length; i++) bytes[i] = image.data[i] as number;
  return mat;
};

/** Reads every mark of the dictionary that the printed sheet takes its marks from. OpenCV must be ready. */
export const readMarks = (image: GreyImage): SeenMark[] =>
  scope((track, cv) => {
    if (!canReadMarks(cv)) return [];
    const { widthPx, heightPx } = image;
    const grey = bytesOf(image, track, () => new cv.Mat(heightPx, widthPx, cv.CV_8UC1));
    const settings = track(new cv.aruco_DetectorParameters());
    settings.adaptiveThreshWinSizeMin = thresholdWindowPx;
    settings.adaptiveThreshWinSizeMax = thresholdWindowPx;
    settings.minMarkerPerimeterRate = leastPerimeterRate;
    const refine = track(new cv.aruco_RefineParameters(10, 3, true));
    const dictionary = track(cv.getPredefinedDictionary(cv.DICT_4X4_50));
    const detector = track(new cv.aruco_ArucoDetector(dictionary, settings, refine));
    const corners = track(new cv.MatVector());
    const ids = track(new cv.Mat());
    detector.detectMarkers(grey, corners, ids);
    const seen: SeenMark[] = [];
    for (let i = 0; i < ids.rows; i++) {
      const [x0 = 0, y0 = 0, x1 = 0, y1 = 0, x2 = 0, y2 = 0, x3 = 0, y3 = 0] = track(corners.get(i)).data32F;
      // OpenCV counts from the centre of the first pixel.
      const places = [
        [x0, y0],
        [x1, y1],
        [x2, y2],
        [x3, y3],
      ] as const;
      seen.push({ id: ids.intAt(i, 0), corners: places.map(([x, y]) => ({ x: x + 0.5, y: y + 0.5 })) });
    }
    return seen;
  });
