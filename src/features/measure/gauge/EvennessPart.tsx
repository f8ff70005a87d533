import type { Evenness } from '../../../domain/evenness';
import { formatDecimals } from '../../../domain/units';
import { Choices } from '../../../ui/fields/Choices';
import { deviationsOf, type EvennessMap, evennessColour } from '../overlay/paintEvenness';

interface Props {
  readonly evenness: Evenness;
  readonly map: EvennessMap | null;
  readonly onMap: (map: EvennessMap | null) => void;
}

/** Less than this is shown as this: the lines themselves are placed no better. */
const leastShown = 0.001;
const variation = (share: number): string =>
  share < leastShown ? 'less than can be told here' : `${formatDecimals(share * 100, 1)} %`;

const percent = (share: number): string => `${formatDecimals(Math.abs(share) * 100, 1)} %`;

const Legend = ({ evenness, map }: { readonly evenness: Evenness; readonly map: EvennessMap }) => {
  const deviations = deviationsOf(evenness.cells, map);
  return (
    <p className="evenness-legend small">
      <span className="evenness-key">
        <i style={{ background: evennessColour(Math.min(...deviations)) }} />
        loosest patch, {percent(Math.min(...deviations))} fewer than the mean
      </span>
      <span className="evenness-key">
        <i style={{ background: evennessColour(Math.max(...deviations)) }} />
        tightest patch, {percent(Math.max(...deviations))} more
      </span>
    </p>
  );
};

/** How even the fabric is: in words, in numbers and, when asked for, as colours over the photo. */
export const EvennessPart = ({ evenness, map, onMap }: Props) => (
  <details onToggle={(event) => !event.currentTarget.open && onMap(null)}>
    <summary>How even the fabric is</summary>
    <div className="stack small">
      <p>
        Rows vary by {variation(evenness.rows.variation)}, columns by {variation(evenness.columns.variation)}.
      </p>
      {evenness.sentences.length > 0 ? (
        <ul>
          {evenness.sentences.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      ) : (
        <p>No row or column stands out from the others.</p>
      )}
      <Choices
        label="Colour the photo by"
        options={[
          [null, 'nothing'],
          ['walesPerMm', 'stitches'],
          ['coursesPerMm', 'rows'],
        ]}
        chosen={map}
        onChoose={onMap}
      />
      {map && <Legend evenness={evenness} map={map} />}
    </div>
  </details>
);
