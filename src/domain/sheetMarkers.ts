/** A square mark of the printed sheet: black, six cells wide, with sixteen cells inside that spell its number. */
export interface SheetMarker {
  readonly id: number;
  /** Upper left corner in the sheet's frame, mm. */
  readonly xMm: number;
  readonly yMm: number;
}

/** Side of a mark and of one of its cells, mm. */
export const markerSideMm = 18;
export const markerCells = 6;
export const cellMm = markerSideMm / markerCells;

/**
 * Inner cells of the marks 0 to 11, row by row from the upper left, highest bit first, 1 for white. Source: OpenCV, predefined dictionary
 * DICT_4X4_50 (4 × 4 cells, 50 marks, any two differ in at least four cells however they are turned).
 */
export const markerBits: readonly number[] = [
  0xb532, 0x0f9a, 0x332d, 0x9946, 0x549e, 0x79cd, 0x9e2e, 0xc4f2, 0xfeda, 0xcf56, 0xf991, 0x11a7,
];

const columnsMm = [0, 83, 166] as const;
const rowsMm = [0, 58.5, 117, 175.5, 234] as const;

/** The marks of the sheet: five down either side and one in the middle of the upper and the lower edge, numbered row by row. */
export const sheetMarkers: readonly SheetMarker[] = rowsMm
  .flatMap((yMm, row) =>
    columnsMm
      .filter((_, column) => column !== 1 || row === 0 || row === rowsMm.length - 1)
      .map((xMm) => ({ xMm, yMm })),
  )
  .map((place, id) => ({ id, ...place }));

/** Whether the inner cell of a mark at this place (0 to 3 each way) is white; the border round them is black. */
export const isWhite = (id: number, column: number, row: number): boolean =>
  column >= 0 &&
  column < 4 &&
  row >= 0 &&
  row < 4 &&
  (((markerBits[id] ?? 0) >> (15 - 4 * row - column)) & 1) === 1;

/** A rectangle, mm from some upper left corner. */
export interface CellRun {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/**
 * The white cells inside a mark, mm from its upper left corner: every run along a row and every run down a column, so that they overlap and no
 * hairline shows where two cells meet.
 */
export const whiteRuns = (id: number): readonly CellRun[] => {
  const runs: CellRun[] = [];
  for (const down of [false, true]) {
    const white = (line: number, at: number): boolean =>
      down ? isWhite(id, line, at) : isWhite(id, at, line);
    for (let line = 0; line < 4; line++) {
      for (let from = 0; from < 4; from++) {
        if (!white(line, from) || white(line, from - 1)) continue;
        let to = from;
        while (white(line, to)) to += 1;
        const start = (from + 1) * cellMm;
        const beside = (line + 1) * cellMm;
        const length = (to - from) * cellMm;
        runs.push(
          down
            ? { xMm: beside, yMm: start, widthMm: cellMm, heightMm: length }
            : { xMm: start, yMm: beside, widthMm: length, heightMm: cellMm },
        );
      }
    }
  }
  return runs;
};
