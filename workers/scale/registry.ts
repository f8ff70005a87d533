import { caliperKind } from './caliper';
import { cardKind } from './card';
import { coinKind } from './coin';
import { gridKind } from './grid';
import type { ReferenceFinder } from './kind';
import { paperKind } from './paper';
import { rulerKind } from './ruler';
import { sheetKind } from './sheet';
import { twoPointsKind } from './twoPoints';

/** Every kind of thing of known length that can be found in a photo, one line each. */
export const referenceKinds: readonly ReferenceFinder[] = [
  gridKind,
  cardKind,
  rulerKind,
  coinKind,
  paperKind,
  sheetKind,
  caliperKind,
  twoPointsKind,
];
