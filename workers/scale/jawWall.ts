import { type JawView, meanColour, meanStrip, perPx } from './jawProfile';

/** What is known of how wide the wall below a jaw's face shows, px; the wall does not show where this is negative. */
export interface JawFace {
  /** Place of the face's edge, px across from the tap, and its variance. */
  readonly at: number;
  readonly variance: number;
  /** Minus the logarithm of how likely the picture is. */
  readonly cost: number;
}

/** Where the face's edge lies if the wall shows so wide: one answer for every {@link wallStepPx}. */
export type FaceByWall = readonly JawFace[];

export const wallStepPx = 0.5;
/** Places of the edge that are tried about where it seems, px: what wall and face blend into lies too far inward by half the wall. */
const tried = { from: -2.5, to: 1.5, step: 0.25 };
/** Blurs that are tried, px. */
const blurs = [0.7, 1.1, 1.7];
/** Picture that is looked at beyond face and wall, px. */
const margin = { out: 7, inward: 4 };
/** A wall facing the light may be brighter than this share of its face's brightness, one in its own shade darker (assumed). */
const wallShade = { share: 0.8, uncertainty: 0.15 };
/** The ground beyond may change by so many grey levels over ten px: a shadow's edge, thread, grain. */
const groundSlope = 15;
/** A mean profile differs from a drawn edge by so many grey levels and by this share of its greatest step, and so many samples in sequence differ alike. */
const misfit = { grey: 1.5, share: 0.04, alike: 4 };

/** Share of a step that lies before x, blurred with a standard deviation of 1 (logistic in place of the normal distribution, within 0.01). */
const before = (x: number): number => 1 / (1 + Math.exp(1.702 * x));

/** Solves a symmetric 4 × 4 system for three right-hand sides in place; the rows hold 4 + 3 numbers. */
const solve = (m: Float64Array): void => {
  for (let k = 0; k < 4; k++) {
    const pivot = m[7 * k + k] as number;
    for (let j = k; j < 7; j++) m[7 * k + j] = (m[7 * k + j] as number) / pivot;
    for (let i = 0; i < 4; i++) {
      if (i === k) continue;
      const f = m[7 * i + k] as number;
      if (f === 0) continue;
      for (let j = k; j < 7; j++) m[7 * i + j] = (m[7 * i + j] as number) - f * (m[7 * k + j] as number);
    }
  }
};

/**
 * Fits what the camera sees across a jaw's edge, outside in: the face's metal, the wall below it for some width, and the ground, all of them blurred.
 * @param faceAt where the edge of the face seems to be, px across from the tap.
 * @param widestPx widest wall that is tried.
 */
export const facesByWall = (view: JawView, faceAt: number, widestPx: number): FaceByWall => {
  const profile = meanStrip(view);
  const first = Math.max(0, Math.round((faceAt - margin.out - view.fromPx) * perPx));
  const last = Math.min(
    view.samples - 1,
    Math.round((faceAt + widestPx + margin.inward - view.fromPx) * perPx),
  );
  const metal = meanColour(
    profile,
    first,
    Math.max(first + 2, Math.round((faceAt - 3 - view.fromPx) * perPx)),
  );
  let step = 0;
  for (let i = first; i <= last; i++)
    for (const c of [0, 1, 2] as const)
      step = Math.max(step, Math.abs((profile[3 * i + c] as number) - metal[c]));
  const variance = Math.hypot(misfit.grey, misfit.share * step) ** 2 * misfit.alike;
  const out: JawFace[] = [];
  for (let wall = 0; wall <= widestPx; wall += wallStepPx) {
    const answers: { at: number; cost: number }[] = [];
    for (let off = tried.from; off <= tried.to; off += tried.step) {
      const at = faceAt + off;
      const cost = Math.min(
        ...blurs.map((blur) =>
          costOf(profile, view.fromPx, first, last, metal, { at, wall, blur }, variance),
        ),
      );
      answers.push({ at, cost });
    }
    const least = Math.min(...answers.map(({ cost }) => cost));
    const weights = answers.map(({ cost }) => Math.exp(-0.5 * (cost - least)));
    const total = weights.reduce((s, v) => s + v, 0);
    const at = answers.reduce((s, a, i) => s + (a.at * (weights[i] ?? 0)) / total, 0);
    const spread = answers.reduce((s, a, i) => s + ((a.at - at) ** 2 * (weights[i] ?? 0)) / total, 0);
    out.push({ at, variance: spread + tried.step ** 2 / 12, cost: 0.5 * least });
  }
  return out;
};

const costOf = (
  profile: Float64Array,
  fromPx: number,
  first: number,
  last: number,
  metal: readonly [number, number, number],
  { at, wall, blur }: { readonly at: number; readonly wall: number; readonly blur: number },
  variance: number,
): number => {
  const m = new Float64Array(28);
  const basis = new Float64Array(4);
  const squares = [0, 0, 0];
  for (let i = first; i <= last; i++) {
    const s = fromPx + i / perPx - at;
    const onFace = before(s / blur);
    const onGround = 1 - before((s - wall) / blur);
    basis[0] = onFace;
    basis[1] = 1 - onFace - onGround;
    basis[2] = onGround;
    basis[3] = (onGround * (s - wall)) / 10;
    for (let a = 0; a < 4; a++) {
      const row = 7 * a;
      for (let b = 0; b < 4; b++)
        m[row + b] = (m[row + b] as number) + (basis[a] as number) * (basis[b] as number);
      for (let c = 0; c < 3; c++)
        m[row + 4 + c] = (m[row + 4 + c] as number) + (basis[a] as number) * (profile[3 * i + c] as number);
    }
    for (let c = 0; c < 3; c++) squares[c] = (squares[c] ?? 0) + (profile[3 * i + c] as number) ** 2;
  }
  const grey = (metal[0] + metal[1] + metal[2]) / 3;
  const shade = variance / (wallShade.uncertainty * Math.max(20, grey)) ** 2;
  const slope = variance / groundSlope ** 2;
  m[8] = (m[8] as number) + shade;
  m[24] = (m[24] as number) + slope;
  for (const c of [0, 1, 2] as const) {
    const wallGrey = wallShade.share * metal[c];
    m[7 + 4 + c] = (m[7 + 4 + c] as number) + shade * wallGrey;
    squares[c] = (squares[c] ?? 0) + shade * wallGrey ** 2;
  }
  m[0] = (m[0] as number) + 1e-6;
  m[16] = (m[16] as number) + 1e-6;
  const right = [0, 1, 2, 3].flatMap((a) => [4, 5, 6].map((c) => m[7 * a + c] as number));
  solve(m);
  // What is left of least squares: y·y − b·(A⁻¹ b).
  let left = 0;
  for (let c = 0; c < 3; c++) {
    left += squares[c] ?? 0;
    for (let a = 0; a < 4; a++) left -= (right[3 * a + c] ?? 0) * (m[7 * a + 4 + c] as number);
  }
  // Three channels say hardly more than one.
  return left / variance / perPx;
};
