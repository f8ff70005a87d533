import type { Light } from './fabric';

/** Linear light from hue, saturation and value (each 0 to 1), the value as the eye steps it. */
export const hsv = (h: number, s: number, v: number): Light => {
  const f = (n: number): number => {
    const k = (n + h * 6) % 6;
    return (v - v * s * Math.max(0, Math.min(k, 4 - k, 1))) ** 2.2;
  };
  return [f(5), f(3), f(1)];
};
