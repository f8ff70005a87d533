import { type RefObject, useEffect, useRef, useState } from 'react';
import type { ComparisonFlag } from '../../../domain/compareViewFlags';
import type { Sheet } from '../../../domain/compareViewFlat';
import type { PhotoPoint } from '../../../domain/coordinates';
import type { SideReading } from '../../../store/compareReading';
import { dayOf } from '../../../store/notebookRows';
import { lineColours } from '../../../ui/marks/paintGrid';
import { saveFile } from '../../../ui/saveFile';
import type { StageSettings } from '../stage/CompareStage';
import type { TableRow } from '../table/rows';
import type { ReadSide } from '../useComparison';
import { subtitleOf, titleOf } from '../words';
import { drawPicture, type PictureContents } from './picture';

interface Props {
  readonly sides: readonly (ReadSide & { readonly reading: SideReading })[];
  readonly sheet: Sheet;
  readonly settings: StageSettings;
  readonly rows: readonly TableRow[];
  readonly flags: readonly ComparisonFlag[];
  readonly frame: RefObject<PhotoPoint | null>;
  /** The flat pictures by the key of their side. */
  readonly images: RefObject<Map<string, HTMLCanvasElement>>;
  /** Where the pictures go on paper. */
  readonly paper: RefObject<HTMLDivElement | null>;
}

const contentsOf = (props: Props): PictureContents => ({
  sides: props.sides.flatMap(({ side, name, reading }, i) => {
    const canvas = props.images.current.get(side.key);
    const picture = props.sheet.pictures[i];
    if (!canvas || !picture) return [];
    const title = titleOf(reading, side.session.store.getState().photo?.fileName);
    return [{ name, title, subtitle: subtitleOf(reading), canvas, picture, derived: reading.derived }];
  }),
  middle: props.frame.current ?? props.sheet.middle,
  unit: props.settings.unit,
  showsLines: props.settings.showsLines,
  colours: lineColours(document.documentElement),
  flags: props.flags.map(({ sentence }) => sentence),
  rows: props.rows,
});

/** One picture and a printable page of what is on the screen. */
export const Share = (props: Props) => {
  const [problem, setProblem] = useState<string | null>(null);
  const { paper } = props;
  const newest = useRef(props);
  newest.current = props;

  // However printing is begun, the page gets the pictures as they lie now; the numbers are on it anyway.
  useEffect(() => {
    const put = (): void => {
      const canvas = drawPicture({ ...contentsOf(newest.current), rows: [], flags: [] });
      paper.current?.replaceChildren(canvas);
    };
    const clear = (): void => paper.current?.replaceChildren();
    window.addEventListener('beforeprint', put);
    window.addEventListener('afterprint', clear);
    return () => {
      window.removeEventListener('beforeprint', put);
      window.removeEventListener('afterprint', clear);
    };
  }, [paper]);

  const save = (): void => {
    drawPicture(contentsOf(props)).toBlob((blob) => {
      if (blob) saveFile(blob, `walewright-${dayOf(new Date().toISOString())}-side-by-side.png`);
      else setProblem('This browser could not make the picture; the printable page works all the same.');
    }, 'image/png');
  };
  return (
    <section className="stack share" aria-label="Give it to somebody">
      <h2>Give it to somebody</h2>
      <div className="row">
        <button type="button" className="button" onClick={save}>
          Save as one picture
        </button>
        <button type="button" className="button" onClick={() => window.print()}>
          Print this page
        </button>
      </div>
      {problem && <p className="problem">{problem}</p>}
    </section>
  );
};
