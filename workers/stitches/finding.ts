import { photoPoint } from '../../src/domain/coordinates';
import type { StitchFinding } from '../../src/domain/measurement';
import { gapRhythm } from './columns';
import { confidenceOf, type Evidence, likelihoodBesideOthers, unreadable } from './confidence';
import { gridOf, outlineOf, type WindowReading, windowOf } from './lines';
import type { FabricReading } from './readFabric';

/** The finding when no fabric could be read, with what to do next. */
export const nothingFound = (): StitchFinding => ({
  grid: null,
  window: null,
  pitchPx: null,
  face: 'unknown',
  region: [],
  scatter: null,
  disagreements: [],
  confidence: unreadable(
    'No knitted fabric could be read in this photo: tap two neighbouring columns and two neighbouring rows, or take a sharper photo from closer.',
  ),
});

/** A finding, and how likely its evidence makes it beside others of the same photo, 0 to 1. */
export interface Judged {
  readonly finding: StitchFinding;
  readonly likelihood: number;
}

/** Turns what was read into lines, counted window, pitches and how far they may be believed. */
export const judge = (reading: FabricReading): Judged => {
  const counted = windowOf(reading.lattice, reading.toPhoto);
  if (counted === null) return { finding: nothingFound(), likelihood: 0 };
  const evidence = evidenceOf(reading, counted);
  return { finding: findingOf(reading, counted, evidence), likelihood: likelihoodBesideOthers(evidence) };
};

const findingOf = (reading: FabricReading, counted: WindowReading, evidence: Evidence): StitchFinding => {
  const { lattice, toPhoto } = reading;
  const grid = gridOf(lattice, toPhoto);
  return {
    grid,
    window: counted.window,
    pitchPx: counted.pitchPx,
    face: reading.template.face,
    region: outlineOf(grid),
    scatter: lattice.scatter,
    disagreements: [...reading.clashes, ...reading.ladders].map(toPhoto).map((p) => photoPoint(p.x, p.y)),
    confidence: confidenceOf(evidence),
  };
};

/** What a reading and its window say about how far they may be believed. */
export const evidenceOf = (reading: FabricReading, counted: WindowReading): Evidence => {
  const { lattice, template } = reading;
  return {
    likeness: reading.medianScore,
    seenShare: counted.seenShare,
    scatter: lattice.scatter,
    wales: lattice.wales,
    courses: lattice.courses,
    coursePx: counted.pitchPx.course,
    ratio: reading.columnShape ?? counted.needlePx / counted.pitchPx.course,
    clashShare: reading.clashes.length / reading.stitchCount,
    face: template.face,
    lean: template.lean,
    leanDown: template.leanDown,
    repeats: reading.repeats,
    shared: reading.shared,
    alongCourse: template.alongCourse,
    gaps: lattice.gaps.some(Boolean),
    furrow: lattice.furrow ?? null,
    columnsClear: reading.columnsClear,
    // What was read by its repeats has their rhythm.
    gapsInRhythm: lattice.perRepeat !== undefined || inRhythm(lattice.gaps),
  };
};

/** Needles are taken out in a rhythm, all across the fabric: no further gap should be seen before the first or after the last. One gap speaks of none. */
const inRhythm = (gaps: readonly boolean[]): boolean => {
  const count = gaps.filter(Boolean).length;
  if (count < 2) return true;
  const every = gapRhythm(gaps);
  return every !== null && gaps.indexOf(true) <= every && gaps.length - 1 - gaps.lastIndexOf(true) <= every;
};
