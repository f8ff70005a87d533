import { useState } from 'react';
import { Link } from 'wouter';
import type { CamFit } from '../../../domain/camFit';
import { readingForPitch } from '../../../domain/camFitPredict';
import { type CamSelected, type CamSelection, restStateWords } from '../../../domain/camFitRecords';
import { fitsOf } from '../../../store/machineKnowledge';
import { usualLandmark } from '../../../store/machineLandmark';
import { Choices } from '../../../ui/fields/Choices';
import { NeedsLandmark } from '../NeedsLandmark';
import type { OpenMachine } from '../openMachine';
import { useJourney } from '../set/useJourney';
import { Beginning } from './Beginning';
import { Borrowed } from './Borrowed';
import { GaugeChart } from './GaugeChart';
import { GaugeWish } from './GaugeWish';
import { ReadingWish } from './ReadingWish';
import { Residuals } from './Residuals';
import { SelectionFields } from './SelectionFields';
import { selectionOf, useSelection } from './selection';

type Dimension = CamFit['dimension'];
const dimensions: readonly (readonly [Dimension, string])[] = [
  ['wale', 'Stitches'],
  ['course', 'Rows'],
];

/** The wanted stitches as a place on the chart; rows cannot be wished for apart. */
const wishOn = (fit: CamFit, walesPerMm: number | null) => {
  if (walesPerMm === null || fit.dimension !== 'wale') return null;
  const pitchMm = 1 / walesPerMm;
  const { inverse } = readingForPitch(fit, pitchMm);
  if (inverse.x === null) return null;
  const bounded = inverse.kind === 'bounded';
  return {
    pitchMm,
    readingMm: inverse.x,
    lowerMm: bounded ? inverse.lower : null,
    upperMm: bounded ? inverse.upper : null,
  };
};

interface FittedProps {
  readonly open: OpenMachine;
  readonly selection: CamSelection;
  readonly selected: CamSelected & { readonly kind: 'ready' };
}

const Fitted = ({ open, selection, selected }: FittedProps) => {
  const { begin, problem } = useJourney(open);
  const [dimension, setDimension] = useState<Dimension>('wale');
  const [wish, setWish] = useState<number | null>(null);
  const { unit } = open.knowledge;
  const fits = fitsOf(selected);
  const fit = dimension === 'wale' ? fits.wales : fits.courses;
  return (
    <div className="gauge-page">
      <div className="stack gauge-shown">
        {fit.kind === 'fit' ? (
          <>
            <Choices label="Shown" options={dimensions} chosen={dimension} onChoose={setDimension} />
            <GaugeChart fit={fit} records={selected.own} unit={unit} wish={wishOn(fit, wish)} />
            <p className="small soft">
              {fit.sentence} Fabric: {restStateWords(selected.restState)}. The band holds a new swatch in 95
              of 100 cases. A point opens its swatch.
            </p>
          </>
        ) : (
          <>
            {selected.own.length > 0 && <p className="note">{fit.sentence}</p>}
            {selected.own.length === 0 && <Beginning open={open} selection={selection} />}
          </>
        )}
        {selected.remarks.map((remark) => (
          <p key={remark} className="note small">
            {remark}
          </p>
        ))}
      </div>
      <div className="stack gauge-asked">
        <GaugeWish
          open={open}
          selection={selection}
          selected={selected}
          fits={fits}
          onWish={setWish}
          onTarget={begin}
        />
        {problem && (
          <p className="note note--problem" role="alert">
            {problem}
          </p>
        )}
        {fits.wales.kind === 'fit' && <ReadingWish fits={fits} unit={unit} />}
      </div>
      {fit.kind === 'fit' && (
        <div className="stack gauge-figures">
          <Residuals fit={fit} unit={unit} />
          <Borrowed open={open} fit={fit} />
        </div>
      )}
    </div>
  );
};

/** How the gauge of a yarn follows the cam: chart, swatches, and the setting for a wanted gauge. */
export const GaugePage = ({ open }: { readonly open: OpenMachine }) => {
  const { chosen, change } = useSelection();
  if (!usualLandmark(open)) {
    return <NeedsLandmark machineId={open.machine.id} why="so that settings can be compared" />;
  }
  const selection = selectionOf(open, chosen);
  if (!selection) {
    return (
      <div className="machine-empty stack">
        <p>
          Measure a swatch, say which yarn and cylinder it came off, and write the caliper reading down with
          it: then this page shows how the gauge follows the cam.
        </p>
        <div className="row">
          <Link href="/measure" className="button button--primary">
            Measure a swatch
          </Link>
        </div>
      </div>
    );
  }
  const selected = open.knowledge.select(selection);
  return (
    <section className="stack" aria-label="Gauge">
      <SelectionFields open={open} selection={selection} onChange={change} />
      {selected.kind === 'ready' && (
        <Fitted key={JSON.stringify(selection)} open={open} selection={selection} selected={selected} />
      )}
    </section>
  );
};
