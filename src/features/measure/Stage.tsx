import { useMemo, useState } from 'react';
import type { Evenness } from '../../domain/evenness';
import type { Swatch } from '../../domain/records';
import type { SessionPhoto } from '../../store/measureSessionState';
import { Handles } from '../../ui/marks/Handles';
import type { Held } from '../../ui/marks/held';
import { KeyHelp } from '../../ui/marks/KeyHelp';
import { LineNumbers } from '../../ui/marks/LineNumbers';
import { gridPainter, lineColours } from '../../ui/marks/paintGrid';
import { windowHandles } from '../../ui/marks/useStitchTool';
import { PhotoStage } from '../../ui/stage/PhotoStage';
import type { Painter } from '../../ui/stage/painter';
import { toStage, type Viewport } from '../../ui/stage/viewport';
import { type EvennessMap, evennessPainter } from './overlay/paintEvenness';
import { referencePainter } from './overlay/paintReference';
import { Rings } from './overlay/Rings';
import type { Step } from './steps';
import type { ScreenTools } from './useScreenTools';

interface Props {
  readonly photo: SessionPhoto;
  readonly swatch: Swatch;
  readonly step: Step;
  readonly tools: ScreenTools;
  /** Local gauge to colour the photo by; null for none. */
  readonly coloured: { readonly evenness: Evenness; readonly map: EvennessMap } | null;
}

const nothing: Painter = () => undefined;

const stageLabel: Readonly<Record<Step, string>> = {
  scale:
    'Photo with the reference drawn over it. H goes from handle to handle, arrow keys move it, Enter keeps it.',
  stitches:
    'Photo with columns and rows drawn over it. Arrow keys go from line to line; question mark shows all keys.',
  gauge: 'Photo with the counted columns and rows.',
  record: 'Photo of the swatch.',
};

/** The photo with whatever the step draws over it. */
export const Stage = ({ photo, swatch, step, tools, coloured }: Props) => {
  const [colours] = useState(() => lineColours(document.documentElement));
  const { stitch, scale, collect, shown, window, reference } = tools;

  const paint = useMemo<Painter>(() => {
    if (step === 'scale') {
      const others = swatch.scale
        ? []
        : (swatch.measurement?.references ?? []).filter((r) => r !== reference);
      return referencePainter(reference, others, colours);
    }
    if (!shown) return nothing;
    if (step === 'gauge' && coloured) return evennessPainter(coloured.evenness, coloured.map);
    return gridPainter({
      grid: shown.grid,
      window,
      active: step === 'stitches' && !collect.active ? stitch.family : null,
      chosen: step === 'stitches' ? tools.chosen : null,
      ghost: step === 'stitches' ? tools.ghost : null,
      pitchPx: tools.pitchPx,
      colours,
    });
  }, [
    step,
    swatch,
    coloured,
    reference,
    colours,
    shown,
    window,
    collect.active,
    stitch.family,
    tools.chosen,
    tools.ghost,
    tools.pitchPx,
  ]);

  const doubtful = swatch.measurement?.stitches.disagreements ?? [];
  const overlay = (view: Viewport) => {
    if (collect.active) {
      const cross = collect.cross && toStage(view, collect.cross);
      return (
        <>
          <Handles points={collect.points} view={view} shape="round" active={null} name="tapped" />
          {cross && (
            <path
              d={`M${cross.x - 18} ${cross.y}h36M${cross.x} ${cross.y - 18}v36`}
              stroke="var(--line-chosen)"
              strokeWidth={2.5}
            />
          )}
        </>
      );
    }
    if (step === 'scale') {
      return (
        <Handles points={scale.handles} view={view} shape="round" active={scale.active} name="reference" />
      );
    }
    if (!window) return null;
    return (
      <>
        <LineNumbers numbers={tools.numbers.wale} family="wale" view={view} />
        <LineNumbers numbers={tools.numbers.course} family="course" view={view} />
        {step === 'stitches' && <Rings places={doubtful} view={view} />}
        {step === 'stitches' && (
          <Handles
            points={windowHandles(window)}
            view={view}
            shape="square"
            active={stitch.handle}
            name="window"
          />
        )}
      </>
    );
  };

  const facts = swatch.photoFacts;
  const near = tools.focus.length > 0;
  return (
    <PhotoStage<Held>
      photo={{ url: photo.url, widthPx: facts?.widthPx ?? 1, heightPx: facts?.heightPx ?? 1 }}
      label={
        collect.active
          ? `${collect.prompt} Arrow keys move the cross, Enter marks the place.`
          : stageLabel[step]
      }
      focus={tools.focus}
      focusKey={`${photo.id} ${near ? 'near' : 'whole'}`}
      reveal={tools.reveal}
      paint={paint}
      overlay={overlay}
      hitAt={tools.hitAt}
      onOutcome={tools.onOutcome}
      onKey={tools.onKey}
    >
      {collect.active && (
        <div className="stage-prompt" role="status">
          <p>{collect.prompt}</p>
          <button type="button" className="button" onClick={collect.cancel}>
            Cancel
          </button>
        </div>
      )}
      {stitch.showsKeys && step === 'stitches' && <KeyHelp onClose={stitch.toggleKeys} />}
    </PhotoStage>
  );
};
