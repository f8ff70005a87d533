import 'fake-indexeddb/auto';
import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { Router } from 'wouter';
import { memoryLocation } from 'wouter/memory-location';
import type { LandmarkRecord, MachineRecord } from '../../src/domain/machineRecords';
import { MachinePages } from '../../src/features/machine/MachineScreen';
import { blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';
import { createMachineShop } from '../../src/store/machineShop';
import { camTop, countedTurns, freshLog, loftMachine, loftSwatch, readingOf } from '../builders/machine-book';

const open: Storage[] = [];
afterEach(async () => {
  cleanup();
  for (const storage of open.splice(0)) await storage.database.delete();
});

const openAt = async (
  path: string,
  prepare: (storage: Storage) => Promise<unknown> = async () => undefined,
) => {
  const storage = createStorage(`machine-${newId()}`);
  open.push(storage);
  await prepare(storage);
  const location = memoryLocation({ path, record: true });
  render(
    <Router hook={location.hook}>
      <MachinePages shop={createMachineShop(storage)} />
    </Router>,
  );
  return { storage, location, user: userEvent.setup({ delay: null }) };
};

const loft =
  (machine: Partial<MachineRecord> = {}, landmark: Partial<LandmarkRecord> = {}) =>
  async (storage: Storage): Promise<void> => {
    await storage.machines.save(loftMachine(machine));
    await storage.landmarks.save(camTop(landmark));
  };
const button = (name: string | RegExp) => screen.findByRole('button', { name });

describe('the profile of a machine', { timeout: 20_000 }, () => {
  it('is filled in, and explains what is missing before it is kept', async () => {
    const { storage, location, user } = await openAt('/machine');
    await user.click(await screen.findByRole('link', { name: 'Add your machine' }));
    await user.click(await button('Add this machine'));
    expect((await screen.findByRole('alert')).textContent).toContain('needs a name');
    await user.type(screen.getByLabelText('Name of the machine'), 'Loft machine');
    await user.type(screen.getByLabelText('Needles'), '72');
    await user.type(screen.getByLabelText('Diameter'), '4 1/2 in');
    await user.click(await button('Another cylinder'));
    await user.type(screen.getAllByLabelText('Needles')[1]!, '60');
    await user.click(screen.getAllByLabelText('Mounted now')[1]!);
    await user.click(await button(/^Anticlockwise/));
    await user.click(await button('½'));
    await user.type(screen.getByLabelText(/^Pitch of the nut/), '32 per inch');
    await user.click(await button('Add this machine'));
    await screen.findByRole('heading', { name: 'Loft machine' });
    const [machine] = (await storage.machines.list()) as MachineRecord[];
    expect(location.history?.at(-1)).toBe(`/machine/${machine?.id}`);
    expect(machine).toMatchObject({
      cylinderNeedles: [72, 60],
      mountedNeedles: 60,
      looserDirection: 'anticlockwise',
      stepTurns: 0.5,
      finishDirection: null,
    });
    // 4 1/2 in = 114.3 mm and 1 in / 32 = 0.79375 mm, an inch being 25.4 mm exactly (16 CFR 500.19).
    expect(machine?.cylinders[0]?.diameterMm).toBeCloseTo(114.3, 9);
    expect(machine?.nominalPitchMm).toBeCloseTo(0.79375, 9);
  });

  it.each([
    ['Needles', '7O', 'whole number'],
    ['Diameter', '4 1/2', 'Say the unit'],
    ['Pitch of the nut’s thread (if you know it)', '32', 'with its unit'],
  ])('says what is wrong with %s and keeps nothing', async (label, typed, sentence) => {
    const { storage, user } = await openAt('/machine/new');
    await user.type(screen.getByLabelText('Name of the machine'), 'Loft machine');
    await user.type(screen.getByLabelText('Needles'), '72');
    await user.clear(screen.getByLabelText(label));
    await user.type(screen.getByLabelText(label), typed);
    await user.click(await button('Add this machine'));
    expect((await screen.findByRole('alert')).textContent).toContain(sentence);
    expect(await storage.machines.list()).toEqual([]);
  });

  it('is deleted and brought back, but stays while a swatch needs it', async () => {
    const { storage, user } = await openAt('/machine/loft/profile', loft());
    await user.click(await button('Delete the machine'));
    await screen.findByText('Loft machine is deleted.');
    expect(await storage.machines.list()).toEqual([]);
    await user.click(await button('Undo'));
    await screen.findByRole('link', { name: /Loft machine/ });
    await storage.saveSwatch(loftSwatch('one', 28, 8));
    await user.click(screen.getByRole('link', { name: /Loft machine/ }));
    await user.click(await screen.findByRole('link', { name: 'Profile' }));
    await user.click(await button('Delete the machine'));
    expect((await screen.findByRole('alert')).textContent).toContain('belongs to a swatch');
    expect(await storage.machines.list()).toHaveLength(1);
  });
});

describe('a landmark', { timeout: 20_000 }, () => {
  it('asks for a mark on a sloping surface', async () => {
    const { storage, user } = await openAt('/machine/loft/landmarks/new', (s) =>
      s.machines.save(loftMachine()),
    );
    await user.type(await screen.findByLabelText('From where to where'), 'nut to bracket');
    await user.click(await button('Inside jaws'));
    await user.click(screen.getByLabelText('One of the surfaces slopes'));
    await user.click(await button('Add this landmark'));
    expect((await screen.findByRole('alert')).textContent).toContain('make a mark');
    expect(await storage.landmarks.list()).toEqual([]);
    await user.type(screen.getByLabelText('The mark that you always measure to'), 'the red paint');
    await user.click(await button('Shrinks'));
    await user.click(await button('Add this landmark'));
    await screen.findByRole('link', { name: /nut to bracket/ });
    expect(await storage.landmarks.list()).toMatchObject([
      { jaw: 'inside', sloping: true, mark: 'the red paint', growth: 'shrinks', machineId: 'loft' },
    ]);
  });

  it('shows a caution that fits the part of the caliper that touches', async () => {
    const { user } = await openAt('/machine/loft/landmarks/camTop', loft());
    expect(await screen.findByText(/Let the depth rod just touch/)).toBeTruthy();
    await user.click(await button('Outside jaws'));
    expect(screen.queryByText(/Let the depth rod/)).toBeNull();
    expect(screen.getByText(/Close the outside jaws/)).toBeTruthy();
  });

  it('is questioned when the swatches say the opposite of what was said of it', async () => {
    await openAt('/machine/loft/landmarks', async (storage) => {
      await loft({}, { growth: 'shrinks' })(storage);
      // A larger reading goes with fewer stitches to the inch, so this reading grows with the stitch.
      for (const [i, mm, stitches] of [
        [0, 27, 9.2],
        [1, 28, 8.2],
        [2, 29, 7.4],
        [3, 27.5, 8.7],
      ] as const)
        await storage.saveSwatch(loftSwatch(`s${i}`, mm, stitches));
    });
    expect(await screen.findByText(/the opposite of what the landmark says/)).toBeTruthy();
  });
});

describe('counted turns', { timeout: 20_000 }, () => {
  const read = async (user: ReturnType<typeof userEvent.setup>, label: string, typed: string) => {
    await user.type(await screen.findByLabelText(label), `${typed}{Enter}`);
  };

  it('are recorded move by move and tell travel and play', async () => {
    const { storage, user } = await openAt('/machine/loft/turns', loft());
    await user.click(await button('Clockwise'));
    await read(user, 'The caliper shows', '28.00');
    await user.click(await button('Now count turns'));
    await screen.findByLabelText('How many turns');
    for (const [direction, turns, typed] of [
      [/^Clockwise/, '1', '28.80'],
      [/^Clockwise/, '1 1/2', '30.00'],
      [/^Anticlockwise/, '1', '29.28'],
    ] as const) {
      await user.click(await button(direction));
      await user.clear(screen.getByLabelText('How many turns'));
      await user.type(screen.getByLabelText('How many turns'), turns);
      await user.type(screen.getByLabelText('The caliper shows now'), typed);
      await user.click(await button('Keep this move'));
      await screen.findByText(`${typed} mm`);
    }
    const travel = screen.getByTestId('travel').textContent ?? '';
    expect(travel).toMatch(/^0\.80\d* ± [\d.]+ mma turn; clockwise makes the reading larger/);
    expect(travel).toMatch(/0\.10?\d* ± [\d.]+ turnof play/);
    expect((await storage.readMachine('loft'))?.turns).toMatchObject([
      {
        lastMoveBefore: 'clockwise',
        moves: [{ turns: 1 }, { turns: 1.5 }, { turns: 1, direction: 'anticlockwise' }],
      },
    ]);
  });

  it('that are no number are refused in one sentence', async () => {
    const { storage, user } = await openAt('/machine/loft/turns', async (s) => {
      await loft()(s);
      await s.saveTurns(countedTurns({ moves: [] }));
    });
    await user.click(await button(/^Go on/));
    await user.clear(screen.getByLabelText('How many turns'));
    await user.type(screen.getByLabelText('How many turns'), 'two or so');
    await user.click(await button('Keep this move'));
    expect(screen.getByRole('alert').textContent).toContain('Type how many turns');
    expect((await storage.readMachine('loft'))?.turns[0]?.moves).toEqual([]);
  });

  it('can be taken back, deleted, and brought back', async () => {
    const { storage, user } = await openAt('/machine/loft/turns', async (s) => {
      await loft()(s);
      await s.saveTurns(countedTurns());
    });
    await user.click(await button('Take back the last move'));
    await waitFor(() => expect(screen.queryByText('28.88 mm')).toBeNull());
    await user.click(await button('Undo'));
    await screen.findByText('28.88 mm');
    await user.click(await button('Delete'));
    await screen.findByText('The record of turns is deleted.');
    await waitFor(() => expect(screen.queryByText('28.88 mm')).toBeNull());
    await user.click(await button('Undo'));
    await screen.findByText('28.88 mm');
    expect((await storage.readMachine('loft'))?.turns).toEqual([countedTurns()]);
  });

  it('that go against what was said are told, and counted all the same', async () => {
    await openAt('/machine/loft/turns', async (s) => {
      await loft({ looserDirection: 'anticlockwise' })(s);
      await s.saveTurns(countedTurns());
    });
    expect(await screen.findByText(/move this reading the other way than/)).toBeTruthy();
    expect(screen.getByTestId('travel').textContent).toContain('clockwise makes the reading larger');
  });
});

describe('the way to a setting', { timeout: 20_000 }, () => {
  const withTurns = async (storage: Storage): Promise<void> => {
    await loft()(storage);
    await storage.saveTurns(countedTurns());
  };

  it('is shown in turns, past and back, and ends inside tolerance', async () => {
    const { storage, user } = await openAt('/machine/loft/set/log-1', async (s) => {
      await withTurns(s);
      await s.saveCamLog(freshLog());
    });
    await user.click(await button('Anticlockwise'));
    await user.type(screen.getByLabelText('The caliper shows'), '27.10');
    await user.click(await button('Show the way'));
    const advice = await screen.findByTestId('advice');
    // 1.40 mm at 0.80 mm a turn are 1¾ turns; the approach ends tightening, so it goes past and comes back.
    expect(within(advice).getByText('1¾ turns clockwise')).toBeTruthy();
    expect(within(advice).getByText(/looser; go ¼ past and come back/)).toBeTruthy();
    expect(within(advice).getByText(/Crank still, hands clear of needles and cam/)).toBeTruthy();
    await user.type(await screen.findByLabelText('The caliper shows now'), '28.49');
    await user.click(await button('Where am I now?'));
    await screen.findByText('You are there.');
    expect((await storage.readMachine('loft'))?.camLogs).toMatchObject([
      {
        steps: [
          { direction: 'clockwise', turns: 1.75, pastTurns: 0.25 },
          { insideTolerance: true, lastMove: 'anticlockwise' },
        ],
        finishedAt: expect.any(String),
      },
    ]);
    await user.click(await button('Take back the last reading'));
    await screen.findByText('1¾ turns clockwise');
  });

  it('first asks whether the reading grows or shrinks when nothing tells', async () => {
    const { storage, user } = await openAt('/machine/loft/set/log-1', async (s) => {
      await loft({}, { growth: null })(s);
      await s.saveCamLog(freshLog());
    });
    await user.click(await button('It shrinks'));
    await button('Show the way');
    expect(await storage.landmarks.get('camTop')).toMatchObject({ growth: 'shrinks' });
  });

  it('warns of a cylinder that is not mounted', async () => {
    await openAt('/machine/loft/set/log-1', async (s) => {
      await withTurns(s);
      const reading = readingOf('camTop', 27.1);
      const step = {
        id: 'step',
        machineId: 'loft',
        landmarkId: 'camTop',
        at: '2026-03-01T10:00:00.000Z',
        presentMm: 27.1,
        targetMm: 28.5,
        direction: 'clockwise',
        turns: 1.75,
        pastTurns: 0.25,
        insideTolerance: false,
        sentence: '',
        reading,
        lastMove: null,
      } as const;
      await s.saveCamLog(freshLog({ wantedNeedles: 60, steps: [step] }));
    });
    expect(await screen.findByText(/belongs to the 60-needle cylinder/)).toBeTruthy();
  });

  it('leads back to a swatch, or to a typed reading', async () => {
    const { storage, location, user } = await openAt('/machine/loft/set', async (s) => {
      await withTurns(s);
      await s.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
      await s.saveSwatch(loftSwatch('one', 28.5, 8));
    });
    await user.click(await button(/Harbour sock/));
    await screen.findByText('the swatch of Harbour sock');
    await user.click(screen.getByRole('link', { name: 'Set the cam' }));
    await user.click(await button('A reading'));
    await user.type(screen.getByLabelText('The caliper should show'), '2850{Enter}');
    expect((await screen.findByRole('alert')).textContent).toContain('No caliper is that long');
    await user.clear(screen.getByLabelText('The caliper should show'));
    await user.type(screen.getByLabelText('The caliper should show'), '1 1/8 in{Enter}');
    await screen.findByText('a reading of 1 1/8 in');
    const logs = (await storage.readMachine('loft'))?.camLogs;
    expect(logs).toMatchObject([
      { swatchId: 'one', wantedNeedles: 72 },
      { swatchId: null, wantedNeedles: null, targetMm: 28.575 },
    ]);
    expect(logs?.[0]?.targetMm).toBeCloseTo(28.5, 9);
    expect(location.history?.at(-1)).toBe(`/machine/loft/set/${logs?.[1]?.id}`);
  });
});

describe('gauge against setting', { timeout: 20_000 }, () => {
  /** A straight line of 0.45 mm of stitch a mm of reading, 3.10 mm at 28 mm. */
  const stitchesAt = (mm: number): number => 25.4 / (3.1 + 0.45 * (mm - 28));
  const knitted = async (storage: Storage): Promise<void> => {
    await loft()(storage);
    await storage.yarns.save({ ...blankYarn('Harbour sock'), id: 'harbour' });
    for (const mm of [27.2, 28.1, 29.1]) {
      await storage.saveSwatch(loftSwatch(`s${mm}`.replace('.', '-'), mm, stitchesAt(mm)));
    }
  };

  it('gives the reading for a wanted gauge, with its ± and what would narrow it', async () => {
    const { user, location } = await openAt('/machine/loft/gauge', knitted);
    await user.type(await screen.findByLabelText('Wanted stitches'), '8.1');
    const answer = await screen.findByTestId('wish-reading');
    const wanted = 28 + (25.4 / 8.1 - 3.1) / 0.45;
    expect(Number.parseFloat(answer.textContent ?? '')).toBeCloseTo(wanted, 1);
    expect(answer.textContent).toContain('±');
    expect(screen.getByText('One more swatch of this yarn narrows it.')).toBeTruthy();
    await user.click(await button('Set the cam to it'));
    await screen.findByText('Harbour sock at 8.1 stitches per inch');
    expect(location.history?.at(-1)).toMatch(/^\/machine\/loft\/set\//);
  });

  it('shows each swatch on the chart, and leads to it', async () => {
    const { user, location } = await openAt('/machine/loft/gauge', knitted);
    const points = await screen.findAllByRole('link', { name: /^Swatch at/ });
    expect(points).toHaveLength(3);
    await user.click(points[0]!);
    expect(location.history?.at(-1)).toBe('/measure/s27-2');
  });

  it('never mixes rest states: it asks which', async () => {
    const { user } = await openAt('/machine/loft/gauge', async (storage) => {
      await knitted(storage);
      await storage.saveSwatch(loftSwatch('wet', 28.6, 8.4, { restState: 'offMachine' }));
    });
    expect(await screen.findByText(/do not belong on one line: pick one/)).toBeTruthy();
    expect(screen.queryAllByRole('link', { name: /^Swatch at/ })).toEqual([]);
    await user.click(await button('washed and dried (3)'));
    expect(await screen.findAllByRole('link', { name: /^Swatch at/ })).toHaveLength(3);
    expect(screen.getByText(/Left out: 1 swatch of another rest state/)).toBeTruthy();
  });

  it('offers a place to begin for a yarn without a swatch', async () => {
    const { user } = await openAt('/machine/loft/gauge', async (storage) => {
      await knitted(storage);
      await storage.yarns.save({ ...blankYarn('Marsh'), id: 'marsh', tex: 200 });
    });
    await user.selectOptions(await screen.findByLabelText('Yarn'), 'marsh');
    expect(await screen.findByText(/A yarn of 200 tex at the usual tightness/)).toBeTruthy();
    await user.type(screen.getByLabelText('Wanted stitches'), '8.1');
    expect(await screen.findByText(/Begin at 28\.\d\d mm/)).toBeTruthy();
  });

  it('says what is wrong with a wish that is no gauge', async () => {
    const { user } = await openAt('/machine/loft/gauge', knitted);
    await user.type(await screen.findByLabelText('Wanted stitches'), '810');
    expect((await screen.findByText(/Type the stitches as a number/)).textContent).toContain('8.1 per inch');
    expect(screen.queryByTestId('wish-reading')).toBeNull();
  });
});

describe('readings between landmarks', { timeout: 20_000 }, () => {
  it('are converted with their ± once both were read at two settings', async () => {
    const { storage, user } = await openAt('/machine/loft/landmarks/between', async (s) => {
      await loft()(s);
      await s.landmarks.save(
        camTop({ id: 'nut', name: 'nut to bracket', jaw: 'outside', createdAt: '2026-03-02T10:00:00.000Z' }),
      );
    });
    expect(await screen.findByText(/read both at two or more settings/)).toBeTruthy();
    for (const [a, b] of [
      ['28.00', '12.00'],
      ['29.00', '11.20'],
      ['30.00', '10.40'],
    ] as const) {
      await user.type(screen.getByLabelText('cam top to plate (depth rod)'), a);
      await user.type(screen.getByLabelText('nut to bracket (outside jaws)'), b);
      await user.click(await button('Keep these two'));
      await screen.findByText(`${a} mm ↔ ${b} mm`);
    }
    expect((await storage.readMachine('loft'))?.sameSettings).toHaveLength(3);
    await user.type(screen.getByLabelText('A reading at cam top to plate'), '28.50');
    expect(screen.getByText(/^11\.6\d* ± [\d.]+ mm$/)).toBeTruthy();
  });
});
