import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { Link } from 'wouter';
import { flagsOf } from '../../domain/compareViewFlags';
import type { PhotoPoint } from '../../domain/coordinates';
import type { SideReading } from '../../store/compareReading';
import { Corrections } from './Corrections';
import { Share } from './share/Share';
import { CompareStage, type StageSettings } from './stage/CompareStage';
import { type TrueLevel, useSheet } from './stage/useSheet';
import { Toolbar } from './Toolbar';
import { Advice } from './table/Advice';
import { CompareTable, Flags, Headline } from './table/CompareTable';
import { type Counted, tableRows } from './table/rows';
import { SockPart } from './table/SockPart';
import type { ReadSide } from './useComparison';
import { subtitleOf, titleOf } from './words';

interface Props {
  readonly sides: readonly (ReadSide & { readonly reading: SideReading })[];
  /** Makes this side the first. */
  readonly onFirst: (key: string) => void;
  /** Goes back to choosing. */
  readonly onPick: () => void;
}

const isCounted = (reading: SideReading): reading is Counted => reading.compared !== null;

const flagsFor = (sides: Props['sides']) =>
  flagsOf(
    sides.map(({ name, reading: { swatch, result } }) => ({
      name,
      restState: swatch.restState,
      face: swatch.measurement?.stitches.face ?? 'unknown',
      cylinderNeedles: swatch.cylinderNeedles,
      machineId: swatch.machineId,
      stitchShare: result ? result.gauge.walesPerMm.value / result.needlePositionsPerMm.value : 1,
      layers: swatch.layers,
      proposal: swatch.gauge?.status === 'proposal',
    })),
  );

const Who = ({ sides, onFirst, onPick }: Props) => (
  <ul className="who">
    {sides.map(({ side, name, reading }, index) => (
      <li key={side.key}>
        <span className="letter">{name}</span>
        <Link href={`/measure/${reading.swatch.id}`} className="who-title">
          {titleOf(reading, side.session.store.getState().photo?.fileName)}
          <span className="small soft">{subtitleOf(reading)}</span>
        </Link>
        {index > 0 && (
          <button type="button" className="button button--quiet" onClick={() => onFirst(side.key)}>
            Compare with this
          </button>
        )}
      </li>
    ))}
    <li>
      <button type="button" className="button" onClick={onPick}>
        Other swatches
      </button>
    </li>
  </ul>
);

const openSettings: StageSettings = {
  layout: 'beside',
  unit: 'in',
  showsLines: false,
  showsFrame: true,
  correcting: false,
  over: 1,
};

/** The pictures on one side, what they come to on the other. */
export const Bench = (props: Props) => {
  const { sides } = props;
  const [settings, setSettings] = useState(openSettings);
  const [level, setLevel] = useState<TrueLevel>('fabric');
  const [active, setActive] = useState<string | null>(null);
  const [panel, setPanel] = useState<HTMLElement | null>(null);
  const frame = useRef<PhotoPoint | null>(null);
  const keepFrame = useCallback((middle: PhotoPoint) => {
    frame.current = middle;
  }, []);
  const images = useRef(new Map<string, HTMLCanvasElement>());
  const readings = sides.map(({ reading }) => reading);
  const sheet = useSheet(readings, level);
  const names = sides.map(({ name }) => name);
  const counted = useMemo(() => sides.map(({ reading }) => reading).filter(isCounted), [sides]);
  const complete = counted.length === sides.length;
  const rows = useMemo(
    () => (complete ? tableRows(counted, settings.unit) : []),
    [complete, counted, settings.unit],
  );
  const flags = useMemo(() => flagsFor(sides), [sides]);
  const top = useRef<HTMLDivElement>(null);
  const paper = useRef<HTMLDivElement>(null);
  // The page may still be scrolled from choosing. Braces: some browsers return a promise, which is no clean-up.
  useEffect(() => {
    top.current?.scrollIntoView();
  }, []);
  useEffect(() => {
    if (settings.correcting) panel?.scrollIntoView({ block: 'nearest' });
  }, [settings.correcting, panel]);
  const change = (part: Partial<StageSettings>): void => setSettings({ ...settings, ...part });
  const [first, ...others] = counted;
  return (
    <div ref={top} className="compare-bench">
      <h1 className="visually-hidden">Swatches side by side</h1>
      <div className="compare-left">
        <Toolbar
          settings={settings}
          level={level}
          onChange={change}
          onLevel={setLevel}
          onCorrect={() => {
            setActive(active ?? sides[0]?.side.key ?? null);
            change({ correcting: !settings.correcting });
          }}
        />
        {sheet ? (
          <CompareStage
            sides={sides}
            sheet={sheet}
            settings={settings}
            onOver={(over) => change({ over })}
            active={active}
            onActive={setActive}
            panel={panel}
            corrections={(entry, tool) => (
              <Corrections entry={entry} tool={tool} onDone={() => change({ correcting: false })} />
            )}
            images={images}
            onFrame={keepFrame}
          />
        ) : (
          <p className="flat-stage compare-missing">These photos cannot be laid flat yet.</p>
        )}
      </div>
      <div className="compare-panel">
        <div ref={paper} className="print-picture" aria-hidden="true" />
        <div ref={setPanel} className="corrections-slot" />
        <Who {...props} />
        <Flags flags={flags} />
        {complete && first ? (
          <>
            <Headline names={names} rows={rows} />
            <CompareTable names={names} rows={rows} />
            <section className="stack">
              <h2>What to change</h2>
              {others.map((other, i) => (
                <Advice
                  key={names[i + 1]}
                  first={first}
                  other={other}
                  names={{ from: names[i + 1] ?? '', target: names[0] ?? '' }}
                />
              ))}
            </section>
            <section className="stack">
              <h2>What it means for the sock</h2>
              <SockPart swatches={counted} names={names} unit={settings.unit} />
            </section>
            {sheet && (
              <Share
                sides={sides}
                sheet={sheet}
                settings={settings}
                rows={rows}
                flags={flags}
                frame={frame}
                images={images}
                paper={paper}
              />
            )}
          </>
        ) : (
          <ul className="note note--warn">
            {sides
              .filter(({ reading }) => reading.lacks)
              .map(({ name, reading }) => (
                <li key={name}>
                  {name}: {reading.lacks}
                </li>
              ))}
          </ul>
        )}
      </div>
    </div>
  );
};
