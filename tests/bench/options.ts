/** What the bench was asked for. */
export interface BenchOptions {
  readonly photos: string | null;
  readonly generated: number;
  /** So many photos are drawn from each; the first is that of every other measuring. */
  readonly seeds: readonly [number, ...number[]];
  readonly maximumPx: number;
  readonly processes: number;
  readonly only: string | null;
  readonly speed: boolean;
  /** How many photos are drawn for the scale alone; null measures everything else instead. */
  readonly scale: number | null;
  /** File of readings to fit the stated chance on, kept and added to; null fits nothing. */
  readonly confidence: string | null;
}

const HELP = `npm run bench -- [--photos DIR] [--generated N] [--seed S] [--maximum PX] [--processes N] [--only TEXT] [--no-speed]
  --photos DIR     further photos with truth files beside them, and labelled photographs in DIR/real
  --generated N    drawn photos (60)
  --seed S[,S…]    seed of the drawn photos (1), or several: N photos from each
  --maximum PX     longest side of a drawn photo (2000)
  --processes N    measure in so many processes side by side (2)
  --only TEXT      only photos whose name or kind contains this; writes no page
  --no-speed       leave the timings out
  --confidence FILE  only fit the stated chance, on all readings of these photos; FILE keeps what was read
  --scale N        only find the scale, in N drawn photos of every kind of reference and those of --photos`;

const whole = (name: string, text: string | undefined): number => {
  if (text === undefined || !/^\d+$/.test(text))
    throw new RangeError(`${name} takes a whole number.\n${HELP}`);
  return Number(text);
};

const wholes = (name: string, text: string | undefined): [number, ...number[]] => {
  const [first, ...others] = (text ?? '').split(',');
  return [whole(name, first), ...others.map((other) => whole(name, other))];
};

/** Reads the command line. @throws RangeError with the help text for words that mean nothing. */
export const optionsFrom = (words: readonly string[]): BenchOptions => {
  let options: BenchOptions = {
    photos: null,
    generated: 60,
    seeds: [1],
    maximumPx: 2000,
    processes: 2,
    only: null,
    speed: true,
    scale: null,
    confidence: null,
  };
  for (let i = 0; i < words.length; i++) {
    const word = words[i] as string;
    const value = words[i + 1];
    if (word === '--no-speed') {
      options = { ...options, speed: false };
      continue;
    }
    i += 1;
    if (word === '--generated') options = { ...options, generated: whole(word, value) };
    else if (word === '--scale') options = { ...options, scale: whole(word, value) };
    else if (word === '--seed') options = { ...options, seeds: wholes(word, value) };
    else if (word === '--maximum') options = { ...options, maximumPx: whole(word, value) };
    else if (word === '--processes') options = { ...options, processes: Math.max(1, whole(word, value)) };
    else if (word === '--photos' && value !== undefined) options = { ...options, photos: value };
    else if (word === '--confidence' && value !== undefined) options = { ...options, confidence: value };
    else if (word === '--only' && value !== undefined) options = { ...options, only: value };
    else throw new RangeError(HELP);
  }
  return options;
};
