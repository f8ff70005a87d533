import { createStore } from 'zustand/vanilla';
import type { MeasureHints } from '../../workers/contract';
import type { PhotoPoint } from '../domain/coordinates';
import type { Id, NamedReference, Swatch } from '../domain/records';
import { blankSwatch } from '../storage/blank';
import { newId, now } from '../storage/ids';
import { createDeriver } from './measureSessionGrid';
import { createJobs } from './measureSessionJobs';
import {
  emptySession,
  type SessionPhoto,
  type SessionState,
  withChosen,
  withEdit,
  withFinding,
  withRedo,
  withReference,
  withScale,
  withUndo,
} from './measureSessionState';
import type { IncomingPhoto, Session, SessionPorts } from './measureSessionTypes';

const noSwatch = 'This swatch is not in the notebook any more; choose another there, or bring a new photo.';
const noPhoto =
  'The photo of this swatch is not on this device, so it cannot be shown; bring the photo again to measure it anew.';
const noHints: MeasureHints = { gridPitchMm: null, reference: 'auto', region: null, thicknessMm: null };

/** True when nothing that the window and the gauge come from differs: typing a note recounts nothing. */
const sameNumbers = (a: Swatch, b: Swatch): boolean =>
  a.measurement === b.measurement &&
  a.scale === b.scale &&
  a.edits === b.edits &&
  a.thicknessMm === b.thicknessMm &&
  a.layers === b.layers;

/** Makes a session. It owns no formulas: those are the domain's, run through `measureSessionGrid`. */
export const createMeasureSession = (ports: SessionPorts): Session => {
  const { vision, storage } = ports;
  const store = createStore<SessionState>(() => emptySession);
  const { getState: get, setState: set } = store;
  const deriver = createDeriver();
  const jobs = createJobs({
    show: (working) => set({ working }),
    fail: (problem) => set({ problem }),
  });
  /** The photo that the vision worker has been given. */
  let handedOver: Id | null = null;

  const keep = (swatch: Swatch): void => {
    set({ kept: 'storing' });
    storage.saveDraft(swatch).then(
      (outcome) => {
        const open = get().swatch;
        // Another window changed it too: from now on this is a copy of its own.
        if (outcome.kind === 'copied' && open?.id === swatch.id)
          set({ swatch: { ...open, id: outcome.swatch.id } });
        if (get().swatch?.id === outcome.swatch.id) set({ kept: 'stored' });
      },
      () => set({ kept: 'failed' }),
    );
  };

  /** The one way by which the open swatch changes: numbers follow, the new version is stored. */
  const change = (to: (swatch: Swatch) => Swatch): void => {
    const before = get().swatch;
    if (!before) return;
    const after = to(before);
    if (after === before) return;
    const swatch = sameNumbers(before, after) ? after : deriver.summarised(after);
    set({ swatch });
    keep(swatch);
  };

  const show = (swatch: Swatch, photo: SessionPhoto | null): void => {
    const old = get().photo;
    if (old && old.id !== photo?.id) ports.forgetAddress(old.url);
    set({ phase: 'open', swatch, photo, awaiting: null, earlierFinding: null, problem: null });
  };

  const handOver = async (signal: AbortSignal, photo: SessionPhoto): Promise<void> => {
    if (handedOver === photo.id) return;
    await vision.openPhoto(signal, photo.id, photo.bytes);
    handedOver = photo.id;
  };

  const measureOpen = async (): Promise<void> => {
    const { photo, swatch } = get();
    if (!photo || !swatch) return;
    await jobs.run('reference', async (signal, onProgress) => {
      await handOver(signal, photo);
      const measurement = await vision.measure(
        signal,
        photo.id,
        { ...noHints, thicknessMm: swatch.thicknessMm },
        onProgress,
      );
      if (get().photo?.id === photo.id)
        change((open) => ({ ...open, measurement, photoFacts: measurement.photo }));
    });
  };

  const putAside = (): void => {
    jobs.cancel();
    const { photo, remembered, swatch, awaiting } = get();
    if (photo) ports.forgetAddress(photo.url);
    const hasDraft = swatch?.state === 'draft' || awaiting !== null;
    set({ ...emptySession, phase: 'empty', remembered, hasDraft });
  };

  const openStored = async (swatch: Swatch | null, wanted: boolean): Promise<void> => {
    if (swatch?.state === 'draft' && swatch.photoId === null) {
      putAside();
      set({ awaiting: swatch });
      return;
    }
    const stored = swatch?.photoId ? await storage.getPhoto(swatch.photoId) : null;
    if (!swatch || !stored) {
      if (get().phase === 'starting') set({ phase: 'empty' });
      if (wanted) set({ problem: swatch ? noPhoto : noSwatch });
      return;
    }
    const { id, fileName, mime, bytes } = stored;
    show(swatch, { id, fileName, mime, bytes, url: ports.addressOf(bytes, mime) });
  };

  const start = async (swatchId: Id | null): Promise<void> => {
    const open = get().swatch;
    storage.namedReferences.list().then(
      (remembered) => set({ remembered }),
      () => undefined,
    );
    if (open && (swatchId === null || open.id === swatchId)) return;
    if (swatchId === null && get().phase !== 'starting') return;
    try {
      const found = swatchId === null ? storage.openDraft() : storage.openSwatch(swatchId);
      await openStored(await found, swatchId !== null);
    } catch (cause) {
      const problem = cause instanceof Error ? cause.message : String(cause);
      set({ phase: get().swatch ? 'open' : 'empty', problem });
    }
  };

  const openPhoto = async (incoming: IncomingPhoto): Promise<void> => {
    set({ problem: null });
    const end = await jobs.run('decode', async (signal, onProgress) => {
      const bytes = await incoming.read();
      const id = newId();
      const facts = await vision.openPhoto(signal, id, bytes, onProgress);
      handedOver = id;
      const thumbnail = await ports.thumbnailOf(bytes, facts.mime);
      const { mime } = facts;
      await storage.savePhoto({ id, fileName: incoming.name, mime, bytes, thumbnail, createdAt: now() });
      const begun: Swatch = { ...(get().awaiting ?? blankSwatch()), createdAt: now() };
      const swatch: Swatch = { ...begun, photoId: id, photoFacts: facts };
      show(swatch, { id, fileName: incoming.name, mime, bytes, url: ports.addressOf(bytes, mime) });
      keep(swatch);
    });
    if (end === 'done') await measureOpen();
    else if (get().phase === 'starting') set({ phase: 'empty' });
  };

  const lookAgain = async (region: readonly PhotoPoint[] | null): Promise<void> => {
    const { photo, swatch } = get();
    if (!photo || !swatch?.measurement) return;
    const before = swatch.measurement.stitches;
    await jobs.run('pitch', async (signal, onProgress) => {
      await handOver(signal, photo);
      const hints = { ...noHints, region, thicknessMm: swatch.thicknessMm };
      const finding = await vision.findStitches(signal, photo.id, hints, onProgress);
      if (get().swatch?.id !== swatch.id) return;
      if (finding.grid === null) {
        const reason = finding.confidence.reasons[0] ?? '';
        set({ problem: `No stitches were found there, so the lines stay as they were. ${reason}`.trim() });
        return;
      }
      change((open) => withFinding(open, finding));
      set({ earlierFinding: before });
    });
  };

  const grow: Session['grow'] = async (wales, courses) => {
    const { photo, swatch } = get();
    if (!photo || !swatch?.measurement) return false;
    let grown = false;
    await jobs.run('grid', async (signal, onProgress) => {
      await handOver(signal, photo);
      const finding = await vision.growStitches(signal, photo.id, { wales, courses }, onProgress);
      grown = finding.grid !== null;
      if (grown) change((open) => withFinding(open, finding));
    });
    return grown;
  };

  const correctReference: Session['correctReference'] = async (
    index,
    { kind, handles, paperSize },
    lengthMm,
  ) => {
    const { photo, swatch } = get();
    if (!photo || !swatch) return;
    const pitchMm = swatch.measurement?.references[index]?.pitchMm ?? null;
    const stitches = swatch.measurement?.stitches;
    const seen = stitches ? { grid: stitches.grid, window: stitches.window } : null;
    await jobs.run('reference', async (signal, onProgress) => {
      await handOver(signal, photo);
      const correction = {
        kind,
        handles,
        pitchMm,
        lengthMm,
        paperSize: paperSize ?? null,
        stitches: seen,
      };
      const reference = await vision.correctReference(signal, photo.id, correction, onProgress);
      change((open) => withReference(open, index, reference));
    });
  };

  const rememberReference: Session['rememberReference'] = (name, reference) => {
    const known = get().remembered.find((r) => r.name === name && r.kind === reference.kind);
    const named: NamedReference = {
      id: known?.id ?? newId(),
      name,
      kind: reference.kind,
      pitchMm: reference.pitchMm,
      lastUsedAt: now(),
      ...(reference.printScale ? { printScale: reference.printScale } : {}),
    };
    set({ remembered: [...get().remembered.filter((r) => r.id !== named.id), named] });
    storage.namedReferences.save(named).catch(() => set({ kept: 'failed' }));
    return named;
  };

  const save = async (): Promise<boolean> => {
    const { swatch } = get();
    if (!swatch) return false;
    try {
      const outcome = await storage.saveSwatch(swatch);
      set({ swatch: outcome.swatch, kept: 'stored' });
      return true;
    } catch (cause) {
      set({
        kept: 'failed',
        problem: cause instanceof Error && 'sentence' in cause ? String(cause.sentence) : String(cause),
      });
      return false;
    }
  };

  return {
    store,
    start,
    openPhoto,
    measureAgain: measureOpen,
    lookAgain,
    takeBackLook: () => {
      const { earlierFinding } = get();
      if (!earlierFinding) return;
      change((swatch) => withFinding(swatch, earlierFinding));
      set({ earlierFinding: null });
    },
    grow,
    chooseReference: (index) => change((swatch) => withChosen(swatch, index)),
    correctReference,
    confirmScale: (reference, confirmedBy, named) =>
      change((swatch) => withScale(swatch, { reference, confirmedBy, namedReferenceId: named?.id ?? null })),
    reopenScale: () => change((swatch) => withScale(swatch, null)),
    rememberReference,
    edit: (edit) => change((swatch) => (deriver.changes(swatch, edit) ? withEdit(swatch, edit) : swatch)),
    undo: () => change(withUndo),
    redo: () => change(withRedo),
    approveLines: () =>
      change((swatch) =>
        swatch.gauge ? { ...swatch, gauge: { ...swatch.gauge, status: 'byHand' } } : swatch,
      ),
    patchRecord: (patch) => change((swatch) => ({ ...swatch, ...patch })),
    save,
    close: putAside,
    resume: async () => {
      set({ phase: 'starting' });
      await start(null);
    },
    dismissProblem: () => set({ problem: null }),
    derived: (preview) => {
      const { swatch } = get();
      return swatch ? deriver.derive(swatch, preview ?? null) : null;
    },
    gauge: (preview) => {
      const { swatch } = get();
      return swatch ? deriver.gauge(swatch, preview ?? null) : null;
    },
  };
};
