import type { RefObject } from 'react';
import type { ComparisonFlag } from '../../../domain/compareViewFlags';
import type { Sheet } from '../../../domain/compareViewFlat';
import type { PhotoPoint } from '../../../domain/coordinates';
import type { SideReading } from '../../../store/compareReading';
import type { StageSettings } from '../stage/CompareStage';
import type { TableRow } from '../table/rows';
import type { ReadSide } from '../useComparison';

interface Props {
  readonly sides: readonly (ReadSide & { readonly reading: SideReading })[];
  readonly sheet: Sheet;
  readonly settings: StageSettings;
  readonly rows: readonly TableRow[];
  readonly flags: readonly ComparisonFlag[];
  readonly frame: RefObject<PhotoPoint | null>;
}

/** One picture and a printable page of what is on the screen. */
export const Share = (_props: Props) => null;
