/** What an archive says about itself to whoever opens it without the app. */
export const archiveReadme = `This is a Walewright notebook archive: everything that was kept about knitted swatches, in plain files.

manifest.json       format, version, when it was made, and for every other file its size and SHA-256 checksum
yarns.json          the yarns (tex = grams per kilometre)
machines.json       the machines: cylinders, which way of the nut loosens, and so on
landmarks.json      the pairs of points that caliper readings run between
references.json     things of known length that are recognised again, such as a cutting mat
turns.json          readings before and after counted turns of a machine's nut
same-settings.json  readings of several pairs of points at one setting
cam-logs.json       journeys to a setting, step by step
photos.json         for every photo its file name, kind and place in this archive
swatches/ID.json    one swatch each: gauge, yarn, machine, caliper reading, corrections, stitch grid
photos/ID.*         the photos exactly as they came from the camera; an archive of a few swatches may leave out of them where they were taken
thumbnails/ID.*     small pictures for lists

Lengths are millimetres, angles radians, densities stitches or rows per millimetre; moments are ISO 8601 in UTC; points in photos are
pixels from the outer corner of the top-left pixel, x to the right, y down.
All text is JSON in UTF-8. Format version 1.
`;
