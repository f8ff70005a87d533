import { decodeInNode } from '../../cli/decode';
import { openPhoto } from '../../workers/photo/openPhoto';
import type { Evidence } from '../../workers/stitches/confidence';
import { evidenceOf } from '../../workers/stitches/finding';
import { searchStitches } from '../../workers/stitches/findStitches';
import { windowOf } from '../../workers/stitches/lines';
import { stitchErrorOf } from './compare';
import { type BenchCase, worst } from './row';
import { regionOf, sourceOf } from './runCase';

/** One reading of a photo: what was seen of it, and whether it was right. */
export interface Sample {
  readonly photo: string;
  readonly evidence: Evidence;
  readonly right: boolean;
  /** Whether the search ended with it. */
  readonly taken: boolean;
}

/** A reading is right when both pitches are within 1 %, and a quarter more because its window is not quite that of the truth. */
const RIGHT_WITHIN = 0.0125;

/** The readings that the search meets in one photo. OpenCV must be ready. */
export const readingsOf = async (benchCase: BenchCase): Promise<Sample[]> => {
  const { bytes, known } = await sourceOf(benchCase);
  const { work } = await openPhoto(bytes, decodeInNode);
  const tolerance = RIGHT_WITHIN + (known.pitchPx?.tolerance ?? 0);
  const { met, taken } = searchStitches(work, { region: regionOf(known) });
  return met.flatMap((found): Sample[] => {
    const { reading, finding } = found;
    const counted = windowOf(reading.lattice, reading.toPhoto);
    if (counted === null) return [];
    return [
      {
        photo: benchCase.name,
        evidence: evidenceOf(reading, counted),
        right: worst(stitchErrorOf(finding, known)) <= tolerance,
        taken: found === taken,
      },
    ];
  });
};
