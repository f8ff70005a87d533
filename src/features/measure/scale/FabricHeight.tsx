import { formatDecimals } from '../../../domain/units';
import { LengthForm } from '../../../ui/fields/LengthForm';

interface Props {
  readonly thicknessMm: number | null;
  readonly layers: 1 | 2;
  readonly onFabric: (patch: { thicknessMm?: number | null; layers?: 1 | 2 }) => void;
}

/** How high the fabric's face lies above the mat: optional, and only the ± suffers when it is not said. */
export const FabricHeight = ({ thicknessMm, layers, onFabric }: Props) => (
  <details>
    <summary>
      Fabric: {layers === 2 ? 'flattened tube' : 'one layer'}
      {thicknessMm !== null && `, ${formatDecimals(thicknessMm, 1)} mm thick`}
    </summary>
    <div className="stack">
      <fieldset className="choices">
        <legend className="visually-hidden">Layers of fabric in the photo</legend>
        <button type="button" aria-pressed={layers === 1} onClick={() => onFabric({ layers: 1 })}>
          One layer
        </button>
        <button type="button" aria-pressed={layers === 2} onClick={() => onFabric({ layers: 2 })}>
          Flattened tube
        </button>
      </fieldset>
      <LengthForm
        label="Thickness of all that lies on the mat (if you know it)"
        example="2 mm"
        action="Set"
        onLength={(mm) => onFabric({ thicknessMm: mm })}
      />
      {thicknessMm !== null && (
        <button type="button" className="button" onClick={() => onFabric({ thicknessMm: null })}>
          Thickness not known
        </button>
      )}
      <p className="small soft">
        The fabric's face is nearer to the camera than the mat and so looks a little larger; with the
        thickness this is corrected, without it the ± carries it. Measure it with the caliper’s jaws laid on
        without pressing, and mind their sharp points.
      </p>
    </div>
  </details>
);
