import { useState } from 'react';
import { gridDoubt } from '../../../domain/gridDoubt';
import type { ScaleReference } from '../../../domain/measurement';
import type { PaperName } from '../../../domain/paper';
import type { NamedReference, Swatch } from '../../../domain/records';
import { referenceWords, stepSeenBy } from '../../../domain/referenceCheck';
import { type PrintScale, withPrintScale } from '../../../domain/referenceSheet';
import { withStep } from '../../../domain/referenceStep';
import { perMmToPerInch } from '../../../domain/units';
import { middleOf, scaleDoubtsOf } from '../../../store/measureSessionScale';
import { currentReference } from '../../../store/measureSessionState';
import type { Session } from '../../../store/measureSessionTypes';
import { printedSheetName } from '../sheet/rememberPrint';
import type { ScreenTools } from '../useScreenTools';

const seenStepOf = (swatch: Swatch, open: ScaleReference | null) => {
  if (!open || open.question === null || open.plane !== null || !swatch.measurement) return null;
  const at = middleOf(swatch);
  for (const known of swatch.measurement.references) {
    const step = stepSeenBy(open, known, at);
    if (step) return { step, by: referenceWords[known.kind] };
  }
  return null;
};

const doubtOf = ({ scale, gauge }: Swatch) =>
  scale && gauge ? gridDoubt(scale.reference, perMmToPerInch(gauge.walesPerMm.value)) : null;

/** Acts at once, or as soon as the work that is going on has ended well; where it failed, what she reads of that comes first. */
const whenIdle = ({ store }: Session, act: () => void): void => {
  const before = store.getState();
  if (before.working === null) {
    act();
    return;
  }
  const stop = store.subscribe(({ working, problem }) => {
    if (working !== null) return;
    stop();
    if (problem === before.problem) act();
  });
};

/** What the scale step shows and does: answers make a plane out of what was found, and a doubtful one keeps her here. */
export const useScaleStep = (session: Session, swatch: Swatch, tools: ScreenTools, onDone: () => void) => {
  const { collect, current } = tools;
  const [settledPitchMm, setSettledPitchMm] = useState<number | null>(null);
  const used = swatch.scale?.reference ?? current?.reference ?? null;
  const others = swatch.measurement?.references ?? [];
  const doubt = doubtOf(swatch);
  const nextIndex = others.length;

  /** Puts a reference with its millimetres into force; a remembered one has been used once more. */
  const settle = (reference: ScaleReference, remembered: NamedReference | null): void => {
    if (!reference.plane) return;
    session.confirmScale(reference, remembered ? 'remembered' : 'user', remembered);
    if (remembered) session.rememberReference(remembered.name, reference);
    moveOn();
  };

  const moveOn = (): void => {
    const now = session.store.getState().swatch;
    // What she must see before she goes on by this scale is shown here.
    if (now && (doubtOf(now) || scaleDoubtsOf(now).some(({ kind }) => kind === 'wide'))) return;
    onDone();
  };

  const asItStands = (): typeof current => {
    const open = session.store.getState().swatch;
    return open?.id === swatch.id ? currentReference(open) : null;
  };

  /** An answer holds for the reference as it stands once what is being fitted has found its place, not for the one before. */
  const answer = (take: (at: NonNullable<typeof current>) => void): void =>
    whenIdle(session, () => {
      const at = asItStands();
      if (at) take(at);
    });

  const corrected = async (
    { reference: { kind, handles }, index }: NonNullable<typeof current>,
    lengthMm: number | null,
    paperSize: PaperName | null,
  ): Promise<void> => {
    await session.correctReference(index, { kind, handles, paperSize }, lengthMm);
    const fitted = asItStands();
    if (fitted) settle(fitted.reference, null);
  };

  const confirm = (stepMm: number | null, named: NamedReference | null): void =>
    answer((at) => {
      if (stepMm === null) settle(at.reference, named);
      else if (at.reference.unitPlane) settle(withStep(at.reference, stepMm), named);
      else void corrected(at, stepMm, null);
    });

  const point = (kind: 'twoPoints' | 'caliper', prompts: readonly string[]): void =>
    collect.begin(
      { prompts, done: (handles) => void session.correctReference(nextIndex, { kind, handles }, null) },
      tools.middle,
    );

  return {
    references: others,
    current,
    scale: swatch.scale,
    doubts: scaleDoubtsOf(swatch, used),
    seenStep: swatch.scale ? null : seenStepOf(swatch, current?.reference ?? null),
    unitDoubt: swatch.scale?.reference.pitchMm === settledPitchMm ? null : doubt,
    thicknessMm: swatch.thicknessMm,
    layers: swatch.layers,
    onChoose: session.chooseReference,
    onConfirm: confirm,
    onCoin: (diameterMm: number, thicknessMm: number | null): void =>
      answer(({ reference }) => {
        const face = thicknessMm === null ? undefined : { heightMm: thicknessMm, uncertaintyMm: 0.05 };
        settle(withStep(reference, diameterMm, face), null);
      }),
    onPaper: (name: PaperName): void => answer((at) => void corrected(at, null, name)),
    onPrint: (print: PrintScale | null, remembered: NamedReference | null): void =>
      answer((at) => {
        const reference = print ? withPrintScale(at.reference, print) : at.reference;
        if (!print || remembered) {
          settle(reference, remembered);
          return;
        }
        session.confirmScale(reference, 'user', session.rememberReference(printedSheetName, reference));
        moveOn();
      }),
    onPitch: (mm: number): void => {
      const reference = swatch.scale?.reference;
      if (!reference) return;
      setSettledPitchMm(mm);
      if (reference.pitchMm !== mm) session.confirmScale(withStep(reference, mm), 'user', null);
      onDone();
    },
    onReopen: session.reopenScale,
    onTwoPoints: () =>
      point('twoPoints', [
        'Tap one end of a length that you know. Press a moment to aim with the glass.',
        'Tap its other end.',
      ]),
    onCaliper: () =>
      point('caliper', [
        'Tap the straight inner edge of one jaw of the caliper. Near it is enough.',
        'Tap the straight inner edge of the other jaw.',
      ]),
    onRemember: (name: string): void => {
      const reference = swatch.scale?.reference;
      if (reference) session.confirmScale(reference, 'user', session.rememberReference(name, reference));
    },
    onMeasured: (mm: number): void => {
      if (!swatch.scale) return;
      const { reference, namedReferenceId } = swatch.scale;
      const measured = withStep(reference, mm);
      const named = session.store.getState().remembered.find(({ id }) => id === namedReferenceId);
      session.confirmScale(measured, 'user', named ? session.rememberReference(named.name, measured) : null);
    },
    onFabric: session.patchRecord,
    onNext: onDone,
  };
};
