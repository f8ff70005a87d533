import type { CamFit } from '../../../domain/camFit';
import { formatDecimals, formatUncertain } from '../../../domain/units';
import type { OpenMachine } from '../openMachine';
import { NORMAL_95, yarnName } from '../words';

/** Where the slope comes from: this yarn's own swatches, and the machine's other yarns with their weights. */
export const Borrowed = ({ open, fit }: { readonly open: OpenMachine; readonly fit: CamFit }) => {
  if (fit.borrowed.length === 0) return null;
  const percent = (share: number): string => `${formatDecimals(100 * share, 0)} %`;
  return (
    <details>
      <summary>Where the slope comes from</summary>
      <table className="residuals">
        <thead>
          <tr>
            <th scope="col">Yarn</th>
            <th scope="col">mm a mm</th>
            <th scope="col">Weight</th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">This yarn</th>
            <td>{formatUncertain(fit.line.slope, NORMAL_95 * Math.sqrt(fit.line.varianceOfSlope))} in all</td>
            <td>{percent(fit.ownShare)}</td>
          </tr>
          {fit.borrowed.map(({ yarnId, cylinderNeedles, swatches, slope, uSlope, share }) => (
            <tr key={`${yarnId} ${cylinderNeedles}`}>
              <th scope="row">
                {yarnName(open.yarns, yarnId)}, {cylinderNeedles} needles, {swatches} swatches
              </th>
              <td>{formatUncertain(slope, NORMAL_95 * uSlope)}</td>
              <td>{percent(share)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small soft">
        mm of stitch a mm of reading. Yarns on one machine have nearly the same slope; each counts the more,
        the surer it is.
      </p>
    </details>
  );
};
