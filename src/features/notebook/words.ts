import type { Yarn } from '../../domain/records';
import { formatDecimals } from '../../domain/units';

/** How long ago something was, in whole days. */
export const daysAgo = (moment: string, now = Date.now()): string => {
  const days = Math.floor((now - Date.parse(moment)) / 86_400_000);
  if (days < 1) return 'today';
  return days === 1 ? 'yesterday' : `${days} days ago`;
};

/** A size for reading: bytes as kB, MB or GB. */
export const sizeWords = (bytes: number): string => {
  const [unit, by] = bytes < 1e6 ? ['kB', 1e3] : bytes < 1e9 ? ['MB', 1e6] : ['GB', 1e9];
  const value = bytes / Number(by);
  return `${value.toFixed(value < 10 ? 1 : 0)} ${unit}`;
};

/** What is known of a yarn besides its name. */
export const yarnFacts = (yarn: Yarn): string =>
  [yarn.colour, yarn.fibre, yarn.maker, yarn.tex !== null && `${formatDecimals(yarn.tex, 0)} tex`]
    .filter(Boolean)
    .join(', ');

/** "no swatches", "1 swatch", "12 swatches". */
export const countWords = (count: number): string =>
  count === 0 ? 'no swatches' : count === 1 ? '1 swatch' : `${count} swatches`;
