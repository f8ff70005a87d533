/** A mistake in how the command was called: one sentence, exit code 2, nothing read. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
}

export const helpText = `Counts the stitches in photos of knitted swatches.

  npm run measure -- PHOTO… [options]

PHOTO is a photo (JPEG, PNG, WebP, AVIF) or a folder of them.

Options
  --reference KIND       what gives the scale: auto (default), grid, card, ruler, coin, paper, sheet, caliper, none
  --grid-pitch LENGTH    grid: spacing of the mat's heavy lines: 1in, 1cm, 25.4mm
  --tick LENGTH          ruler: distance between neighbouring marks: 1mm, 1/16in
  --diameter LENGTH      coin: 24.26mm
  --size NAME            paper: A4, A5, A6, letter
  --check-rulers A,B     sheet: what the check rulers across and along measure: 139.8mm,139.6mm
  --point x,y            caliper: a place on the edge of a jaw, in pixels; given twice, one on each jaw
  --opening LENGTH       caliper: what it reads: 1in
  --region x0,y0,x1,y1   look for stitches only in this part of the photo, in pixels from its upper left corner
  --thickness LENGTH     thickness of the fabric: 2mm, 1/16in
  --layers 1|2           layers of fabric that lie on each other: 2 for a tube laid flat (default 1)
  --json                 print an array of results instead of a line a photo
  --help                 print this

A grid looks the same in inches and in centimetres, so without --grid-pitch a mat gives no gauge; likewise a ruler needs --tick, a
coin --diameter and paper --size. The printed sheet gives a gauge at once, but printers are off by 1 to 2 %, and so is the scale until
--check-rulers says what they measure. A card needs nothing. auto looks for every kind, uses the surest that has all it needs, and
says what the others would need.
The exit code is 0 if every photo was read, 1 if one was not, 2 if the command was not understood.
With --json, run \`npm run --silent measure\` to get nothing else on the standard output.
`;
