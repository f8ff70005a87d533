/** What there is to choose from: how much a reading is worth by itself, and its pitches, null if it has none. */
interface Weighed {
  readonly worth: number;
  readonly finding: { readonly pitchPx: { readonly wale: number; readonly course: number } | null };
}

/**
 * The worthiest of those that agree on the pitches and are worth the most together: a grid slips in one reading or another, but seldom twice in the
 * same way. Undefined where there is none.
 */
export const worthiest = <T extends Weighed>(all: readonly T[]): T | undefined => {
  const byWorth = [...all].sort((a, b) => b.worth - a.worth);
  let best = byWorth[0];
  let most = 0;
  for (const found of byWorth) {
    const alike = byWorth.filter((other) => agree(found, other));
    const together = alike.reduce((sum, other) => sum + other.worth, 0);
    if (together <= most) continue;
    // One that agrees with several may be worth little by itself.
    best = alike[0];
    most = together;
  }
  return best;
};

/** Two readings of one fabric differ by less than this share of a pitch: their windows do not lie at quite the same place. */
const sameShare = 0.015;

/** Whether two readings have the same pitches. */
export const agree = (a: Weighed, b: Weighed): boolean => {
  const p = a.finding.pitchPx;
  const q = b.finding.pitchPx;
  if (a === b || p === null || q === null) return a === b;
  return Math.max(Math.abs(p.wale / q.wale - 1), Math.abs(p.course / q.course - 1)) < sameShare;
};
