/** A mistake in how the command was called: one sentence, exit code 2, nothing read. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
}

export const helpText = `Counts the stitches in photos of knitted swatches.

  npm run measure -- PHOTO… [options]

PHOTO is a photo (JPEG, PNG, WebP, AVIF) or a folder of them.

Options
  --grid-pitch LENGTH    spacing of the mat's heavy lines: 1in, 1cm, 25.4mm
  --reference KIND       what gives the scale: auto (default), grid, card, ruler, coin, paper, none
  --region x0,y0,x1,y1   look for stitches only in this part of the photo, in pixels from its upper left corner
  --thickness LENGTH     thickness of the fabric: 2mm, 1/16in
  --layers 1|2           layers of fabric that lie on each other: 2 for a tube laid flat (default 1)
  --json                 print an array of results instead of a line a photo
  --help                 print this

A grid looks the same in inches and in centimetres, so without --grid-pitch a mat gives no gauge.
The exit code is 0 if every photo was read, 1 if one was not, 2 if the command was not understood.
With --json, run \`npm run --silent measure\` to get nothing else on the standard output.
`;
