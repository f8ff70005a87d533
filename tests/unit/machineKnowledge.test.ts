import { describe, expect, it } from 'vitest';
import { relateLandmarks } from '../../src/domain/landmarkRelation';
import { pairsBetween, recordsAt } from '../../src/domain/landmarkRelationRecords';
import { nominalTravelAt, turnSessionOf } from '../../src/domain/machineTurns';
import type { MachineContents } from '../../src/storage/machineShelf';
import { fitsOf, knowledgeOf } from '../../src/store/machineKnowledge';
import { usualLandmark } from '../../src/store/machineLandmark';
import { targetOfSwatch } from '../../src/store/machineTarget';
import { answerWish, gaugeAt } from '../../src/store/machineWish';
import { camTop, countedTurns, loftMachine, loftSwatch, readingOf } from '../builders/machine-book';

const nut = camTop({ id: 'nut', name: 'nut to bracket', jaw: 'outside', growth: null });

/** The nut's reading at a setting: it shrinks by 0.8 mm while the cam's top grows by 1 mm. */
const nutAt = (camTopMm: number): number => 12 - 0.8 * (camTopMm - 28);
const stitchesAt = (camTopMm: number): number => 25.4 / (3.1 + 0.45 * (camTopMm - 28));

const contents = (change: Partial<MachineContents> = {}): MachineContents => ({
  machine: loftMachine(),
  landmarks: [camTop(), nut],
  turns: [],
  sameSettings: [27, 28.2, 29.4].map((mm, i) => ({
    id: `pair-${i}`,
    machineId: 'loft',
    readings: [
      readingOf('camTop', mm - 0.01, mm, mm + 0.01),
      readingOf('nut', nutAt(mm) - 0.01, nutAt(mm), nutAt(mm) + 0.01),
    ],
    createdAt: '2026-03-01T10:00:00.000Z',
    deletedAt: null,
  })),
  camLogs: [],
  swatches: [27.2, 28.1, 29.1].map((mm) => loftSwatch(`at-${mm}`, mm, stitchesAt(mm))),
  ...change,
});

describe('counted turns as typed', () => {
  it('become a session whose uncertainty leaves the caliper’s own error out', () => {
    const session = turnSessionOf(countedTurns(), 'depth');
    expect(session.startReadingMm).toBeCloseTo(28, 10);
    expect(session.moves.map(({ readingMm }) => readingMm)).toEqual(
      [28.8, 29.6, 28.88].map((mm) => expect.closeTo(mm, 10)),
    );
    // Three repeats with a standard deviation of 0.01 mm, and a display of 0.01 mm steps (JCGM 100:2008, 4.2.3 and 4.3.7).
    expect(session.uReadingMm).toBeCloseTo(Math.sqrt(0.01 ** 2 / 3 + 0.005 ** 2 / 3), 10);
  });

  it('begin with the thread’s pitch, signed as machine and landmark say', () => {
    const machine = loftMachine({ nominalPitchMm: 0.8 });
    expect(nominalTravelAt(machine, 'grows')?.travelPerTurnMm).toBe(0.8);
    expect(nominalTravelAt(machine, 'shrinks')?.travelPerTurnMm).toBe(-0.8);
    expect(nominalTravelAt({ ...machine, looserDirection: 'anticlockwise' }, 'grows')?.travelPerTurnMm).toBe(
      -0.8,
    );
    expect(nominalTravelAt(machine, null)).toBeNull();
    expect(nominalTravelAt(loftMachine(), 'grows')).toBeNull();
  });
});

describe('swatches read at another landmark', () => {
  it('count as if they had been read here, less surely', () => {
    const { sameSettings } = contents();
    const from = { id: 'nut', jaw: 'outside', known: null } as const;
    const relation = relateLandmarks(
      pairsBetween(sameSettings, from, { id: 'camTop', jaw: 'depth', known: null }),
    );
    if (relation.kind !== 'relation') throw new Error(relation.sentence);
    const knowledge = knowledgeOf(
      contents({ swatches: [loftSwatch('one', 28.5, 8, { reading: readingOf('nut', nutAt(28.5)) })] }),
    );
    const [asRead] = knowledge.records('nut');
    const [moved] = recordsAt([asRead!], 'camTop', new Map([['nut', relation]]));
    expect(moved).toMatchObject({ id: 'one', landmarkId: 'camTop' });
    expect(moved?.readingMm).toBeCloseTo(28.5, 6);
    expect(moved?.uReadingMm).toBeGreaterThan(asRead!.uReadingMm / 0.8);
    expect(knowledge.records('camTop')).toEqual([moved]);
  });

  it('stay where they are while no relation leads from there', () => {
    const knowledge = knowledgeOf(
      contents({
        sameSettings: [],
        swatches: [loftSwatch('one', 28.5, 8, { reading: readingOf('nut', 11.6) })],
      }),
    );
    expect(knowledge.records('camTop')).toMatchObject([{ landmarkId: 'nut', readingMm: 11.6 }]);
  });
});

describe('what a machine’s records say', () => {
  it('is the growth of a reading, found in the swatches where nobody said it', () => {
    const swatches = [27.2, 28.1, 29.1, 28.6].map((mm) =>
      loftSwatch(`at-${mm}`, mm, stitchesAt(mm), { reading: readingOf('nut', nutAt(mm)) }),
    );
    const knowledge = knowledgeOf(contents({ swatches }));
    expect(knowledge.growth('nut')).toBe('shrinks');
    expect(knowledge.growth('camTop')).toBe('grows');
  });

  it('is the unit of the reading that was taken last', () => {
    const inches = { landmarkId: 'camTop', unit: 'in', repeats: [{ typed: '1.125', mm: 28.575 }] } as const;
    const newest = loftSwatch('inch', 28.5, 8, { reading: inches, createdAt: '2026-05-01T10:00:00.000Z' });
    expect(knowledgeOf(contents()).unit).toBe('mm');
    expect(knowledgeOf(contents({ swatches: [...contents().swatches, newest] })).unit).toBe('in');
  });

  it('is the way back to a swatch, with a tolerance of 1 % of its stitches or of what the reading is good for', () => {
    const all = contents();
    const knowledge = knowledgeOf(all);
    const record = knowledge.records('camTop')[1]!;
    const target = targetOfSwatch(all, knowledge, record, 'the swatch');
    expect(target).toMatchObject({
      landmarkId: 'camTop',
      swatchId: 'at-28.1',
      wantedNeedles: 72,
      cautions: [],
    });
    expect(target.targetMm).toBeCloseTo(28.1, 9);
    // 1 % of a stitch of 3.145 mm over 0.45 mm of stitch a mm of reading.
    expect(target.toleranceMm).toBeCloseTo((0.01 * 3.145) / 0.45, 3);
    const elsewhere = knowledge.records('nut')[1]!;
    expect(targetOfSwatch(all, knowledge, elsewhere, 'the swatch').cautions[0]).toContain('another landmark');
  });

  it('is the reading for a wanted gauge, and the gauge at a reading, which undo each other', () => {
    const knowledge = knowledgeOf(contents());
    const selected = knowledge.select({
      yarnId: 'harbour',
      machineId: 'loft',
      cylinderNeedles: 72,
      landmarkId: 'camTop',
    });
    if (selected.kind !== 'ready') throw new Error(selected.sentence);
    const fits = fitsOf(selected);
    const answer = answerWish(selected, fits, 8.1 / 25.4, 'mm');
    if (answer.kind !== 'reading') throw new Error(answer.kind);
    expect(answer.target.readingMm).toBeCloseTo(28 + (25.4 / 8.1 - 3.1) / 0.45, 3);
    expect(gaugeAt(fits.wales, answer.target.readingMm, 'mm')?.perInch).toBeCloseTo(8.1, 9);
  });

  it('is the landmark that is used most', () => {
    expect(usualLandmark(contents())?.id).toBe('camTop');
    expect(usualLandmark(contents({ swatches: [], turns: [countedTurns({ landmarkId: 'nut' })] }))?.id).toBe(
      'nut',
    );
    expect(usualLandmark(contents({ landmarks: [] }))).toBeUndefined();
  });
});
