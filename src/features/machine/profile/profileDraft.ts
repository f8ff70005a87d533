import { parseLength } from '../../../domain/lengthText';
import type { Cylinder, MachineRecord } from '../../../domain/machineRecords';
import type { NutDirection } from '../../../domain/turns';
import { formatLength } from '../../../domain/units';
import { parseNeedles } from '../../../ui/fields/needles';
import type { DraftOutcome } from '../useDraft';
import { parsePitch } from '../words';

/** A cylinder as it is being typed. */
export interface CylinderDraft {
  readonly key: number;
  readonly needles: string;
  readonly diameter: string;
}

/** A machine's profile as it is being typed. */
export interface ProfileDraft {
  readonly name: string;
  readonly cylinders: readonly CylinderDraft[];
  /** The key of the mounted one; null when not said. */
  readonly mounted: number | null;
  readonly looserDirection: NutDirection;
  readonly stepTurns: number;
  readonly approach: 'tightening' | 'loosening';
  readonly pitch: string;
  readonly notes: string;
  readonly photoId: string | null;
}

/** The form's texts for a stored machine. */
export const draftOf = (machine: MachineRecord): ProfileDraft => {
  const cylinders = machine.cylinders.map(({ needles, diameterMm }, key) => ({
    key,
    needles: String(needles),
    diameter: diameterMm === null ? '' : formatLength(diameterMm, 'mm'),
  }));
  return {
    name: machine.name,
    cylinders: cylinders.length > 0 ? cylinders : [{ key: 0, needles: '', diameter: '' }],
    mounted: cylinders.find(({ needles }) => needles === String(machine.mountedNeedles))?.key ?? null,
    looserDirection: machine.looserDirection,
    stepTurns: machine.stepTurns,
    approach: machine.finishDirection === machine.looserDirection ? 'loosening' : 'tightening',
    pitch: machine.nominalPitchMm === null ? '' : `${Number(machine.nominalPitchMm.toFixed(4))} mm`,
    notes: machine.notes,
    photoId: machine.photoId,
  };
};

const cylinderOf = ({ needles, diameter }: CylinderDraft): Cylinder | { readonly sentence: string } => {
  const count = parseNeedles(needles);
  if ('sentence' in count) return count;
  if (diameter.trim() === '') return { needles: count.needles, diameterMm: null };
  const parsed = parseLength(diameter, null);
  if (!parsed.ok) return { sentence: `Diameter of the ${count.needles}-needle cylinder: ${parsed.sentence}` };
  return { needles: count.needles, diameterMm: parsed.mm };
};

/** The machine with what the form says, or one sentence about what is wrong in it. */
export const machineFrom = (draft: ProfileDraft, before: MachineRecord): DraftOutcome<MachineRecord> => {
  if (draft.name.trim() === '') return { sentence: 'The machine needs a name: type what you call it.' };
  const typed = draft.cylinders.filter(({ needles, diameter }) => (needles + diameter).trim() !== '');
  const cylinders: Cylinder[] = [];
  for (const one of typed) {
    const cylinder = cylinderOf(one);
    if ('sentence' in cylinder) return cylinder;
    if (cylinders.some(({ needles }) => needles === cylinder.needles)) {
      return { sentence: `There are two cylinders with ${cylinder.needles} needles: one entry is enough.` };
    }
    cylinders.push(cylinder);
  }
  const pitch = parsePitch(draft.pitch);
  if ('sentence' in pitch) return pitch;
  const mounted = typed.find(({ key }) => key === draft.mounted);
  const onlyOne = cylinders.length === 1 ? (cylinders[0]?.needles ?? null) : null;
  return {
    made: {
      ...before,
      name: draft.name.trim(),
      cylinders,
      cylinderNeedles: cylinders.map(({ needles }) => needles),
      mountedNeedles: mounted ? Number(mounted.needles) : onlyOne,
      looserDirection: draft.looserDirection,
      stepTurns: draft.stepTurns,
      finishDirection: draft.approach === 'loosening' ? draft.looserDirection : null,
      nominalPitchMm: pitch.mm,
      notes: draft.notes,
      photoId: draft.photoId,
    },
  };
};
