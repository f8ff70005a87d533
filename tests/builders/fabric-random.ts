import { columnsOf, type FabricSpec, type Light, type Structure, type YarnSpec } from './fabric';
import type { Random } from './random';
import { hsv } from './random-colour';
import type { SceneKind } from './scene-kinds';

const INCH = 25.4;

const yarnColour = (random: Random, kind: SceneKind): YarnSpec['colour'] => {
  const light = (): Light => hsv(random.next(), random.between(0.02, 0.3), random.between(0.8, 0.95));
  const middle = (): Light => hsv(random.next(), random.between(0.3, 0.75), random.between(0.5, 0.85));
  const dark = (): Light => hsv(random.next(), random.between(0.1, 0.6), random.between(0.12, 0.3));
  const any = (): Light => random.pick([light, middle, middle, dark])();
  switch (kind) {
    case 'near-black':
      return { kind: 'solid', base: dark() };
    case 'stripes':
      return {
        kind: 'stripes',
        colours: Array.from({ length: random.whole(2, 5) }, any),
        runMm: random.logBetween(250, 4000),
      };
    case 'marl':
      return { kind: 'marl', base: light(), other: random.pick([middle, dark])() };
    case 'heather and speckle':
      return random.chance(0.5)
        ? { kind: 'heather', base: middle(), other: any() }
        : {
            kind: 'speckle',
            base: light(),
            dots: Array.from({ length: random.whole(2, 4) }, middle),
            share: random.between(0.08, 0.35),
          };
    case 'poor photo':
    case 'small in the picture':
    case 'close up':
      return { kind: 'solid', base: random.pick([light, middle])() };
    default:
      return { kind: 'solid', base: random.pick([light, middle, middle])() };
  }
};

const yarnFor = (random: Random, kind: SceneKind, walePitchMm: number): YarnSpec => {
  const plies = kind === 'marl' ? 2 : random.whole(2, 4);
  return {
    colour: yarnColour(random, kind),
    diameterMm: walePitchMm * random.between(0.4, 0.52),
    plies,
    lay: random.between(3, 6.5),
    relief: random.between(0.15, 0.75),
    halo: kind === 'fuzzy' ? random.between(0.45, 1) : random.between(0, 0.25),
    slub: random.between(0.01, 0.06),
  };
};

const structureFor = (random: Random, kind: SceneKind): Structure => {
  switch (kind) {
    case 'plain purl':
      return { kind: 'plainPurl' };
    case 'needle gaps':
      return { kind: 'mockRib', gapEvery: random.pick([2, 3, 4, 6]), gapWidth: random.between(0.8, 1.3) };
    case 'rib': {
      const [knit, purl] = random.pick([
        [1, 1],
        [2, 1],
        [2, 2],
      ] as const);
      return { kind: 'rib', knit, purl, openness: random.chance(0.4) ? 0 : random.between(0.4, 0.9) };
    }
    case 'garter':
      return { kind: 'garter' };
    case 'plain knit':
    case 'close up':
      return { kind: 'plainKnit' };
    default:
      return random.chance(0.75) ? { kind: 'plainKnit' } : { kind: 'plainPurl' };
  }
};

/** A stitch dropped in a few plain pieces: it ran down over some courses. */
const droppedIn = (random: Random, { structure, needles, courses }: FabricSpec): FabricSpec['dropped'] => {
  if (!(structure.kind === 'plainKnit' || structure.kind === 'plainPurl') || !random.chance(0.08)) return [];
  return [
    {
      needle: random.whole(3, needles - 4),
      course: random.whole(3, Math.floor(courses / 2)),
      courses: random.whole(4, 14),
    },
  ];
};

/** A random fabric of the kind asked for. */
export const fabricFor = (random: Random, kind: SceneKind): FabricSpec => {
  const perInch = kind === 'close up' ? random.logBetween(4, 8) : random.logBetween(4, 14);
  const walePitchMm = INCH / perInch;
  const structure = structureFor(random, kind);
  const ratio = structure.kind === 'garter' ? random.between(1.7, 2.1) : random.between(1.22, 1.6);
  const yarn = yarnFor(random, kind, walePitchMm);
  const coursePitchMm = walePitchMm / ratio;
  const sizeMm = kind === 'close up' ? random.between(45, 60) : random.between(60, 120);
  const size = Math.max(sizeMm, 14 * walePitchMm);
  const draft: FabricSpec = {
    structure,
    needles: Math.round(size / walePitchMm),
    courses: Math.round((size * random.between(0.85, 1.25)) / coursePitchMm),
    walePitchMm,
    coursePitchMm,
    yarn,
    loop: { spread: random.between(0.21, 0.27), reach: random.between(1.1, 1.24) },
    skewRad: random.normal() * 0.02,
    leanRad: random.normal() * 0.04,
    bowMm: random.normal() * size * 0.012,
    stretch: Math.abs(random.normal()) * 0.012,
    jitter: random.between(0.01, 0.06),
    unevenness: {
      share: random.between(0, 0.03),
      every: random.chance(0.15) ? random.whole(4, 12) : 0,
    },
    liftMm: random.between(0, 0.6),
    curlRad: structure.kind === 'plainKnit' || structure.kind === 'plainPurl' ? random.between(0, 1) : 0,
    dropped: [],
    seed: Math.floor(random.next() * 1e9),
  };
  // Closed ribs are narrower than their needle count says: make them as wide as the rest.
  const width = columnsOf(draft).reduce((sum, column) => sum + column.widthMm, 0);
  const needles = Math.round((draft.needles * size) / width);
  return { ...draft, needles, dropped: droppedIn(random.fork('dropped'), { ...draft, needles }) };
};
