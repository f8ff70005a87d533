import { useState } from 'react';
import { parseCaliper } from '../../../domain/caliperText';
import type { CaliperReading } from '../../../domain/records';
import { formatDecimals } from '../../../domain/units';
import type { CamFits } from '../../../store/machineKnowledge';
import { type ExpectedGauge, gaugeAt } from '../../../store/machineWish';
import { TextField } from '../../../ui/fields/TextField';
import { unitWords } from '../words';

const words = ({ perInch, lower, upper }: ExpectedGauge): string =>
  `${formatDecimals(perInch, 2)} (${formatDecimals(lower, 2)} to ${upper === null ? 'open' : formatDecimals(upper, 2)})`;

interface Props {
  readonly fits: CamFits;
  readonly unit: CaliperReading['unit'];
}

/** What a new swatch at a typed reading will come out at. */
export const ReadingWish = ({ fits, unit }: Props) => {
  const [text, setText] = useState('');
  const parsed = text.trim() === '' ? null : parseCaliper(text, unit);
  const stitches = parsed?.ok ? gaugeAt(fits.wales, parsed.mm, unit) : null;
  const rows = parsed?.ok ? gaugeAt(fits.courses, parsed.mm, unit) : null;
  return (
    <div className="machine-card stack">
      <TextField
        label="Or: what would this reading give?"
        value={text}
        onChange={setText}
        hint={`In ${unitWords[unit]} unless you type the unit.`}
      />
      <div aria-live="polite" className="stack">
        {parsed && !parsed.ok && <p className="problem">{parsed.sentence}</p>}
        {parsed?.ok && !stitches && (
          <p className="problem">The line gives no stitch at that reading: check the number and its unit.</p>
        )}
        {stitches && <p>{words(stitches)} stitches per inch</p>}
        {rows && <p>{words(rows)} rows per inch</p>}
        {stitches && <p className="small soft">In brackets where a new swatch lies in 95 of 100 cases.</p>}
        {[...new Set([...(stitches?.cautions ?? []), ...(rows?.cautions ?? [])])].map((caution) => (
          <p key={caution} className="note note--warn small">
            {caution}
          </p>
        ))}
      </div>
    </div>
  );
};
