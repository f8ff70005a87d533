/** A cylinder has that many needles at the least and at the most; anything else is a slip of the hand. */
const fewest = 12;
const most = 300;

/** A typed needle count, or one sentence that says what is wrong with it. */
export const parseNeedles = (text: string): { readonly needles: number } | { readonly sentence: string } => {
  const needles = Number(text.trim());
  if (!Number.isInteger(needles) || text.trim() === '') {
    return { sentence: 'Type the number of needles of the cylinder as a whole number, such as 72.' };
  }
  if (needles < fewest || needles > most) {
    return { sentence: `A cylinder has between ${fewest} and ${most} needles: check the number.` };
  }
  return { needles };
};
