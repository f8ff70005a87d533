/** A value with its expanded uncertainty at 95 % (JCGM 100:2008, 6.2.1). */
export interface Uncertain {
  readonly value: number;
  readonly plusMinus95: number;
}

/** Stitch and row density per millimetre of fabric. */
export interface Gauge {
  readonly walesPerMm: Uncertain;
  readonly coursesPerMm: Uncertain;
}
