/** A colour as screens code it (sRGB, IEC 61966-2-1), each part 0 to 255. */
export interface Rgb {
  readonly red: number;
  readonly green: number;
  readonly blue: number;
}

/** Coded part 0…255 → share of light 0…1 (IEC 61966-2-1). */
export const linearFromCoded = (coded: number): number => {
  const c = coded / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
};

/** Share of light 0…1 → coded part 0…255 (IEC 61966-2-1). */
export const codedFromLinear = (linear: number): number =>
  255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055);

/** Lightness 0 to 100, chroma, and hue in degrees 0 to 360. */
export interface LightnessChromaHue {
  readonly lightness: number;
  readonly chroma: number;
  readonly hueDegrees: number;
}

/** CIELAB under D65 as lightness, chroma and hue (ISO/CIE 11664-4), from sRGB by the matrix of IEC 61966-2-1. */
export const toLch = ({ red, green, blue }: Rgb): LightnessChromaHue => {
  const [r, g, b] = [linearFromCoded(red), linearFromCoded(green), linearFromCoded(blue)];
  const f = (t: number): number => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
  const [a, bStar] = [500 * (x - y), 200 * (y - z)];
  const hue = (Math.atan2(bStar, a) * 180) / Math.PI;
  return { lightness: 116 * y - 16, chroma: Math.hypot(a, bStar), hueDegrees: (hue + 360) % 360 };
};

const greyWord = (lightness: number): string =>
  lightness < 15
    ? 'black'
    : lightness < 40
      ? 'dark grey'
      : lightness < 65
        ? 'grey'
        : lightness < 90
          ? 'light grey'
          : 'white';

/** Hues in the order of the circle, each up to this many degrees; the circle closes with the first. */
const hues: readonly (readonly [upToDegrees: number, word: string])[] = [
  [15, 'pink'],
  [46, 'red'],
  [76, 'orange'],
  [112, 'yellow'],
  [165, 'green'],
  [225, 'turquoise'],
  [310, 'blue'],
  [333, 'purple'],
  [360, 'pink'],
];

/** Below this chroma a colour passes for a grey. */
const GREY_CHROMA = 8;

/** Warm colours that everyday words split by how light and how strong they are. */
const warmWord = (
  word: string,
  { lightness, chroma, hueDegrees }: LightnessChromaHue,
): string | undefined => {
  if (hueDegrees > 112 && hueDegrees < 345) return undefined;
  if (lightness > 72 && chroma < 35 && hueDegrees > 46) return lightness > 92 ? 'cream' : 'beige';
  if (word === 'yellow' && lightness < 68) return 'olive';
  if (word === 'orange' && lightness < 58) return lightness < 25 ? 'dark brown' : 'brown';
  if (word === 'red' && chroma < 40 && lightness < 58) return lightness < 25 ? 'dark brown' : 'brown';
  if (word === 'red' && lightness > 62) return 'pink';
  if (word === 'pink' && hueDegrees <= 15 && lightness < 45) return 'dark red';
  return undefined;
};

/**
 * A plain word for a colour, such as "dark green" or "light grey". The borders between words are choices of ours; they are
 * tried against the named colours of CSS Color Module Level 4.
 */
export const colourWord = (rgb: Rgb): string => {
  const lch = toLch(rgb);
  if (lch.chroma < GREY_CHROMA || lch.lightness < 8 || lch.lightness > 97) return greyWord(lch.lightness);
  const word = hues.find(([upTo]) => lch.hueDegrees <= upTo)?.[1] ?? 'pink';
  const warm = warmWord(word, lch);
  if (warm !== undefined) return warm;
  const shade = lch.lightness < 37 ? 'dark ' : lch.lightness > 78 && word !== 'yellow' ? 'light ' : '';
  return `${shade}${word}`;
};

/** A colour as #rrggbb. */
export const toHex = ({ red, green, blue }: Rgb): string =>
  `#${[red, green, blue]
    .map((part) =>
      Math.round(Math.min(255, Math.max(0, part)))
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;

/**
 * Mean colour of picture elements, four bytes each (red, green, blue, opacity), as the light of them mixes: averaged in linear
 * light, each by its opacity. Null when there are none, or all are clear.
 */
export const meanColour = (rgba: ArrayLike<number>): Rgb | null => {
  let [red, green, blue, weight] = [0, 0, 0, 0];
  for (let i = 0; i + 3 < rgba.length; i += 4) {
    const opacity = rgba[i + 3] ?? 0;
    red += opacity * linearFromCoded(rgba[i] ?? 0);
    green += opacity * linearFromCoded(rgba[i + 1] ?? 0);
    blue += opacity * linearFromCoded(rgba[i + 2] ?? 0);
    weight += opacity;
  }
  if (weight === 0) return null;
  const coded = (sum: number): number => codedFromLinear(sum / weight);
  return { red: coded(red), green: coded(green), blue: coded(blue) };
};
