import { type CameraFacts, priorFocalPx } from './camera';
import type { CameraLevel } from './cameraLevel';
import { type Bending, type TiltedFit, tiltWhenBent } from './fabricBending';
import { type BlockedStitches, blockedStitches, blockOffsets, evenCell } from './fabricBlocks';
import type { StitchGrid } from './grid';

/** Ways of bending that are weighed against each other by what the stitches show. */
const strains = [0.0015, 0.003, 0.006, 0.012, 0.024];
/** From a patch of a few stitches to a piece that is drawn in at one end: that cannot be told from a tilt, and says how far the tilt may be trusted. */
const reaches = [0.15, 0.3, 0.6, 1.2];
const unevennesses = [0.003, 0.01, 0.03];
/** Before looking, the stretch of a knitted piece varies by about half a per cent, give or take a factor of two, and its rows by one, give or take three (judgement). */
const usualStrain = { value: 0.005, lnSpread: 0.7 };
const usualUnevenness = { value: 0.01, lnSpread: 1 };
/** How it bends while the tilt is still being sought. */
const firstGuess: Bending = { strain: 0.005, reach: 0.4, unevenness: 0.005 };
const rounds = 3;

/** A fabric is not equally thick all over and lies wavy: its face leans against the table by so much, rad (about half a millimetre on a hand's width; judgement). */
const wedgeRad = 0.005;

/** Fewer blocks than this do not tell bending from tilt. */
const leastBlocks = 12;

const ways: readonly Bending[] = strains.flatMap((strain) =>
  reaches.flatMap((reach) => unevennesses.map((unevenness) => ({ strain, reach, unevenness }))),
);

const logPrior = ({ strain, unevenness }: Bending): number =>
  -0.5 * (Math.log(strain / usualStrain.value) / usualStrain.lnSpread) ** 2 -
  0.5 * (Math.log(unevenness / usualUnevenness.value) / usualUnevenness.lnSpread) ** 2;

/** The mean of fits weighed by their likelihoods, with the covariance that holds within and between them. */
const joined = (
  fits: readonly { readonly fit: TiltedFit; readonly logWeight: number }[],
): TiltedFit | null => {
  const most = Math.max(...fits.map(({ logWeight }) => logWeight));
  const weighed = fits.map(({ fit, logWeight }) => ({ fit, weight: Math.exp(logWeight - most) }));
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  const meanOf = (value: (fit: TiltedFit) => number): number =>
    weighed.reduce((sum, { fit, weight }) => sum + weight * value(fit), 0) / total;
  const x = meanOf((fit) => fit.x);
  const y = meanOf((fit) => fit.y);
  if (!Number.isFinite(x + y)) return null;
  return {
    x,
    y,
    xx: meanOf((fit) => fit.xx + (fit.x - x) ** 2),
    xy: meanOf((fit) => fit.xy + (fit.x - x) * (fit.y - y)),
    yy: meanOf((fit) => fit.yy + (fit.y - y) ** 2),
    logLikelihood: most,
  };
};

/** Stitches as they lie where depth no longer grows by `x` and `y` per px from the middle. */
const levelled = (
  { stitches, blockCount }: BlockedStitches,
  { x, y }: { readonly x: number; readonly y: number },
): BlockedStitches => ({
  blockCount,
  stitches: stitches.map((s) => {
    const depth = 1 + x * s.x + y * s.y;
    return { ...s, x: s.x / depth, y: s.y / depth };
  }),
});

const centred = (
  { stitches, blockCount }: BlockedStitches,
  unitPx: number,
): { readonly blocks: BlockedStitches; readonly middle: { readonly x: number; readonly y: number } } => {
  const n = stitches.length;
  const x = stitches.reduce((sum, s) => sum + s.x / n, 0);
  const y = stitches.reduce((sum, s) => sum + s.y / n, 0);
  const about = stitches.map((s) => ({ ...s, x: (s.x - x) / unitPx, y: (s.y - y) / unitPx }));
  return { blocks: { stitches: about, blockCount }, middle: { x, y } };
};

/** What is left of the tilt once stitches were levelled by a first estimate of it; null where they do not tell. */
const tiltLeft = (blocks: BlockedStitches, tried: readonly Bending[]): TiltedFit | null => {
  const cell = evenCell(blocks.stitches);
  if (cell === null) return null;
  const offsets = blockOffsets(blocks, cell);
  if (offsets.length < leastBlocks) return null;
  return joined(
    tried.flatMap((bending) => {
      const fit = tiltWhenBent(offsets, cell, bending);
      return fit === null ? [] : [{ fit, logWeight: fit.logLikelihood + logPrior(bending) }];
    }),
  );
};

/**
 * How the table stands to the camera as the fabric itself tells it: knitting is even and its columns run side by side, so that stitches which grow smaller to one side,
 * and rows and columns which draw together, show the plane's horizon. Fabric is also stretched, sheared and bowed; how much is estimated from the same stitches, and
 * what cannot be told from a tilt is in the uncertainty. Needs no scale.
 * @param grid in px of the photo that `camera` describes.
 * @returns null when there are too few stitches.
 */
export const levelOfFabric = (grid: StitchGrid, camera: CameraFacts): CameraLevel | null => {
  const seen = blockedStitches(grid);
  if (seen === null) return null;
  const unitPx = Math.max(camera.widthPx, camera.heightPx);
  const { blocks, middle } = centred(seen, unitPx);
  let tilt = { x: 0, y: 0 };
  let last: TiltedFit | null = null;
  for (let round = 0; round < rounds; round += 1) {
    last = tiltLeft(levelled(blocks, tilt), round + 1 < rounds ? [firstGuess] : ways);
    if (last === null) return null;
    tilt = { x: tilt.x + last.x, y: tilt.y + last.y };
  }
  if (last === null) return null;
  const depthAtCentre =
    1 + (tilt.x * (camera.widthPx / 2 - middle.x) + tilt.y * (camera.heightPx / 2 - middle.y)) / unitPx;
  const perSlope = priorFocalPx(camera).value / unitPx / depthAtCentre;
  if (!(depthAtCentre > 0)) return null;
  const larger = 0.5 * (last.xx + last.yy + Math.hypot(last.xx - last.yy, 2 * last.xy));
  return {
    slopeX: tilt.x * perSlope,
    slopeY: tilt.y * perSlope,
    uncertainty: Math.hypot(Math.sqrt(larger) * perSlope, wedgeRad),
    isFromFabric: true,
  };
};
