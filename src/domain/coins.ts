/** What a coin's outline is: only round ones show an ellipse that can be measured. */
export type CoinShape = 'round' | 'notched' | 'holed' | 'polygon' | 'constantWidth';

/**
 * How well its size is known: `published` by the mint or in law, `secondary` as reproduced by others. A size on which sources disagree is
 * left out.
 */
export type CoinStatus = 'published' | 'secondary';

/** A coin in circulation that can serve as a reference. */
export interface Coin {
  readonly country: string;
  readonly name: string;
  readonly diameterMm: number;
  /** Thickness at the rim; null where no source gives it. */
  readonly thicknessMm: number | null;
  readonly shape: CoinShape;
  readonly status: CoinStatus;
}

type Row = readonly [name: string, diameterMm: number, thicknessMm: number | null, shape?: CoinShape];

const coinsOf = (country: string, status: CoinStatus, rows: readonly Row[]): Coin[] =>
  rows.map(([name, diameterMm, thicknessMm, shape = 'round']) => ({
    country,
    name,
    diameterMm,
    thicknessMm,
    shape,
    status,
  }));

/**
 * Sizes of coins. Sources: United States Mint, Coin Specifications; Council Regulation (EC) 975/98, now (EU) 729/2014, and the
 * European Central Bank's coin pages; The Royal Mint; Royal Canadian Mint as reproduced by encyclopaedias; Japan Mint; Swissmint as
 * reproduced by encyclopaedias; Riksbank regulation SFS 2014:84; Norges Bank.
 */
export const coins: readonly Coin[] = [
  ...coinsOf('United States', 'published', [
    ['1 cent', 19.05, 1.52],
    ['5 cents', 21.21, 1.95],
    ['10 cents', 17.91, 1.35],
    ['25 cents', 24.26, 1.75],
    ['50 cents', 30.61, 2.15],
    ['1 dollar', 26.49, 2.0],
  ]),
  ...coinsOf('Euro area', 'published', [
    ['50 cent', 24.25, 2.38],
    ['1 euro', 23.25, 2.33],
    ['2 euro', 25.75, 2.2],
  ]),
  ...coinsOf('Euro area', 'secondary', [
    ['1 cent', 16.25, 1.67],
    ['2 cent', 18.75, 1.67],
    ['5 cent', 21.25, 1.67],
    ['10 cent', 19.75, 1.93],
    ['20 cent', 22.25, 2.14, 'notched'],
  ]),
  ...coinsOf('United Kingdom', 'secondary', [
    ['1 penny', 20.3, 1.65],
    ['2 pence', 25.9, 2.03],
    ['5 pence', 18.0, 1.7],
    ['10 pence', 24.5, null],
    ['20 pence', 21.4, 1.7, 'constantWidth'],
    ['50 pence', 27.3, null, 'constantWidth'],
    ['2 pounds', 28.4, 2.5],
  ]),
  ...coinsOf('United Kingdom', 'published', [['1 pound, point to point', 23.43, 2.8, 'polygon']]),
  ...coinsOf('Canada', 'secondary', [
    ['1 cent', 19.05, 1.45],
    ['5 cents', 21.2, 1.76],
    ['10 cents', 18.03, 1.22],
    ['2 dollars', 28, 1.75],
  ]),
  ...coinsOf('Japan', 'published', [
    ['1 yen', 20.0, 1.5],
    ['5 yen', 22.0, 1.5, 'holed'],
    ['10 yen', 23.5, null],
  ]),
  ...coinsOf('Japan', 'secondary', [
    ['50 yen', 21.0, null, 'holed'],
    ['100 yen', 22.6, null],
    ['500 yen', 26.5, null],
  ]),
  ...coinsOf('Switzerland', 'secondary', [
    ['5 rappen', 17.15, 1.25],
    ['10 rappen', 19.15, 1.45],
    ['20 rappen', 21.05, 1.65],
    ['½ franc', 18.2, 1.25],
    ['1 franc', 23.2, 1.55],
    ['2 francs', 27.4, 2.15],
    ['5 francs', 31.45, 2.35],
  ]),
  ...coinsOf('Sweden', 'published', [
    ['1 krona', 19.5, 1.79],
    ['2 kronor', 22.5, 1.79],
    ['10 kronor', 20.5, 2.9],
  ]),
  ...coinsOf('Norway', 'published', [
    ['1 krone', 21.0, 1.7, 'holed'],
    ['5 kroner', 26.0, 2.0, 'holed'],
    ['20 kroner', 27.5, 2.2],
  ]),
];

/** Coins that an ellipse can be measured on: round outside, whether holed or not. */
export const measurableCoins = (): Coin[] => coins.filter((c) => c.shape === 'round' || c.shape === 'holed');

/** Coins whose country or name holds every word of the search, in the list's order; all of them for an empty search. */
export const searchCoins = (search: string): Coin[] => {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return coins.filter((c) => {
    const text = `${c.country} ${c.name} ${c.diameterMm}`.toLowerCase();
    return words.every((w) => text.includes(w));
  });
};

/** Other measurable coins whose diameter differs by less than half a percent: sizes alone do not tell them apart. */
export const easilyConfused = (coin: Coin): Coin[] =>
  measurableCoins().filter(
    (c) => c !== coin && Math.abs(c.diameterMm - coin.diameterMm) < 0.005 * coin.diameterMm,
  );
