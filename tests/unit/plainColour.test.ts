import { describe, expect, it } from 'vitest';
import { colourWord, meanColour, type Rgb, toHex, toLch } from '../../src/domain/plainColour';

const rgb = (hex: number): Rgb => ({ red: hex >> 16, green: (hex >> 8) & 255, blue: hex & 255 });

describe('the word for a colour', () => {
  // Names and values: CSS Color Module Level 4, section 6.1.
  it.each([
    ['black', 0x000000, 'black'],
    ['white', 0xffffff, 'white'],
    ['dimgray', 0x696969, 'grey'],
    ['gray', 0x808080, 'grey'],
    ['gainsboro', 0xdcdcdc, 'light grey'],
    ['red', 0xff0000, 'red'],
    ['firebrick', 0xb22222, 'red'],
    ['orange', 0xffa500, 'orange'],
    ['saddlebrown', 0x8b4513, 'brown'],
    ['sienna', 0xa0522d, 'brown'],
    ['beige', 0xf5f5dc, 'cream'],
    ['tan', 0xd2b48c, 'beige'],
    ['gold', 0xffd700, 'yellow'],
    ['olive', 0x808000, 'olive'],
    ['green', 0x008000, 'green'],
    ['darkgreen', 0x006400, 'dark green'],
    ['forestgreen', 0x228b22, 'green'],
    ['palegreen', 0x98fb98, 'light green'],
    ['turquoise', 0x40e0d0, 'light turquoise'],
    ['teal', 0x008080, 'turquoise'],
    ['blue', 0x0000ff, 'dark blue'],
    ['royalblue', 0x4169e1, 'blue'],
    ['navy', 0x000080, 'dark blue'],
    ['lightblue', 0xadd8e6, 'light blue'],
    ['purple', 0x800080, 'dark purple'],
    ['mediumorchid', 0xba55d3, 'purple'],
    ['pink', 0xffc0cb, 'light pink'],
    ['hotpink', 0xff69b4, 'pink'],
    ['salmon', 0xfa8072, 'pink'],
  ])('calls the CSS colour %s by its everyday name', (_name, hex, word) => {
    expect(colourWord(rgb(hex))).toBe(word);
  });

  it('rests on CIELAB as published for the sRGB primaries (red: L* 53.2, C 104.6, h 40.0°; from memory)', () => {
    const { lightness, chroma, hueDegrees } = toLch(rgb(0xff0000));
    expect(lightness).toBeCloseTo(53.2, 0);
    expect(chroma).toBeCloseTo(104.6, 0);
    expect(hueDegrees).toBeCloseTo(40, 0);
  });
});

describe('the mean of many colours', () => {
  it('mixes light and not codes: half black and half white is the grey of half the light, code 188 (IEC 61966-2-1)', () => {
    const mean = meanColour([0, 0, 0, 255, 255, 255, 255, 255]);
    expect(mean && toHex(mean)).toBe('#bcbcbc');
  });

  it('leaves out what is clear, and is nothing where all is', () => {
    expect(toHex(meanColour([9, 9, 9, 0, 32, 64, 96, 255])!)).toBe('#204060');
    expect(meanColour([9, 9, 9, 0])).toBeNull();
    expect(meanColour([])).toBeNull();
  });
});
