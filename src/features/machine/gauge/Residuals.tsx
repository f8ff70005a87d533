import { Link } from 'wouter';
import type { CamFit } from '../../../domain/camFit';
import type { CaliperReading } from '../../../domain/records';
import { formatDecimals, formatLength } from '../../../domain/units';
import { perInch } from '../words';

interface Props {
  readonly fit: CamFit;
  readonly unit: CaliperReading['unit'];
}

/** Observed minus fitted, per inch and in per cent of the fitted. */
const offWords = (pitchMm: number, residualMm: number): string => {
  const fitted = perInch(pitchMm - residualMm);
  const off = perInch(pitchMm) - fitted;
  const signed = (value: number, decimals: number): string => {
    const shown = formatDecimals(Math.abs(value), decimals);
    return Number(shown) === 0 ? shown : `${value < 0 ? '−' : '+'}${shown}`;
  };
  return `${signed(off, 2)} (${signed((100 * off) / fitted, 1)} %)`;
};

/** Every swatch of the fit with how far it lies off the line. */
export const Residuals = ({ fit, unit }: Props) => {
  const noun = fit.dimension === 'wale' ? 'Stitches' : 'Rows';
  const points = [...fit.points].sort((a, b) => a.readingMm - b.readingMm);
  return (
    <table className="residuals">
      <caption className="visually-hidden">The swatches, and how far each lies off the line</caption>
      <thead>
        <tr>
          <th scope="col">Reading</th>
          <th scope="col">{noun} per inch</th>
          <th scope="col">Off the line</th>
        </tr>
      </thead>
      <tbody>
        {points.map(({ id, readingMm, pitchMm, residualMm }) => (
          <tr key={id}>
            <th scope="row">
              <Link href={`/measure/${id}`}>{formatLength(readingMm, unit)}</Link>
            </th>
            <td>{formatDecimals(perInch(pitchMm), 2)}</td>
            <td>{offWords(pitchMm, residualMm)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};
