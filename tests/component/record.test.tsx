import 'fake-indexeddb/auto';
import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, describe, expect, it } from 'vitest';
import { type LandmarkRecord, withLandmarkProfile } from '../../src/domain/machineRecords';
import type { Swatch } from '../../src/domain/records';
import { RecordPanel } from '../../src/features/measure/record/RecordPanel';
import { blankLandmark, blankMachine, blankSwatch, blankYarn } from '../../src/storage/blank';
import { newId } from '../../src/storage/ids';
import { createStorage, type Storage } from '../../src/storage/repository';

const open: Storage[] = [];
afterEach(async () => {
  cleanup();
  for (const storage of open.splice(0)) await storage.database.delete();
});

interface Now {
  swatch: Swatch;
  readonly saves: Swatch[];
}

/** The panel with somebody who holds the swatch, as the measuring screen does. */
const Held = ({ storage, now }: { readonly storage: Storage; readonly now: Now }) => {
  const [swatch, setSwatch] = useState(now.swatch);
  return (
    <RecordPanel
      storage={storage}
      swatch={swatch}
      onChange={(change) => {
        now.swatch = { ...now.swatch, ...change };
        setSwatch(now.swatch);
      }}
      onSave={async () => {
        now.saves.push(now.swatch);
        return true;
      }}
    />
  );
};

/** The panel over a notebook of its own, with what it says about the swatch and how often it was saved. */
const openPanel = async (prepare: (storage: Storage) => Promise<Partial<Swatch>> = async () => ({})) => {
  const storage = createStorage(`record-${newId()}`);
  open.push(storage);
  const now: Now = { swatch: { ...blankSwatch(), ...(await prepare(storage)) }, saves: [] };
  render(<Held storage={storage} now={now} />);
  await screen.findByLabelText('Yarn');
  return { storage, now, user: userEvent.setup({ delay: null }) };
};

const reading = () => screen.getByLabelText(/The caliper shows|Measured again/);
const button = (name: string | RegExp) => screen.getByRole('button', { name });
const machineWith72 = async (storage: Storage): Promise<Partial<Swatch>> => {
  const machine = await storage.machines.save({ ...blankMachine('Loft machine'), cylinderNeedles: [72] });
  return { machineId: machine.id, cylinderNeedles: 72 };
};

describe('the yarn of a swatch', { timeout: 20_000 }, () => {
  it('is added with its weight in any of three ways, each filling the others', async () => {
    const { storage, now, user } = await openPanel();
    await user.selectOptions(screen.getByLabelText('Yarn'), 'A new yarn…');
    await user.type(screen.getByLabelText('Name of the yarn'), 'Harbour sock');
    await user.type(screen.getByLabelText('Fibre'), '75 % wool');
    await user.type(screen.getByLabelText('Metres in 100 g'), '420');
    // 100 g / 420 m = 238.1 g/km (tex, ASTM D2260); 210 m in 50 g are 210 / 0.9144 = 229.7 yd.
    expect(screen.getByLabelText('Tex (g per km)')).toHaveProperty('value', '238');
    expect(screen.getByLabelText('Yards in 50 g')).toHaveProperty('value', '230');
    await user.click(button('Add this yarn'));
    await waitFor(() => expect(now.swatch.yarnId).not.toBeNull());
    const yarn = await storage.yarns.get(now.swatch.yarnId!);
    expect(yarn).toMatchObject({ name: 'Harbour sock', fibre: '75 % wool' });
    expect(yarn?.tex).toBeCloseTo(238.095, 3);
    await waitFor(() => expect(screen.getByLabelText('Yarn')).toHaveProperty('value', yarn?.id));
  });

  it('takes yards with a decimal comma', async () => {
    const { user } = await openPanel();
    await user.selectOptions(screen.getByLabelText('Yarn'), 'A new yarn…');
    await user.type(screen.getByLabelText('Yards in 50 g'), '229,66');
    expect(screen.getByLabelText('Metres in 100 g')).toHaveProperty('value', '420');
  });

  it('says what is wrong with a weight that is none, and keeps the one before', async () => {
    const { user } = await openPanel();
    await user.selectOptions(screen.getByLabelText('Yarn'), 'A new yarn…');
    const metres = screen.getByLabelText('Metres in 100 g');
    await user.type(metres, '420');
    await user.type(metres, 'm');
    expect(screen.getByRole('alert').textContent).toContain('number above zero');
    expect(screen.getByLabelText('Tex (g per km)')).toHaveProperty('value', '238');
  });

  it('needs a name', async () => {
    const { now, user } = await openPanel();
    await user.selectOptions(screen.getByLabelText('Yarn'), 'A new yarn…');
    await user.click(button('Add this yarn'));
    expect((await screen.findByRole('alert')).textContent).toContain('needs a name');
    expect(now.swatch.yarnId).toBeNull();
  });

  it('is picked from those that are known, and shown as text whatever its name', async () => {
    const { now, user } = await openPanel(async (storage) => {
      await storage.yarns.save({ ...blankYarn('<img src=x onerror=alert(1)>'), id: 'odd' });
      return {};
    });
    expect(screen.getByRole('option', { name: '<img src=x onerror=alert(1)>' })).toBeTruthy();
    await user.selectOptions(screen.getByLabelText('Yarn'), 'odd');
    expect(now.swatch.yarnId).toBe('odd');
    expect(document.querySelector('img')).toBeNull();
  });
});

describe('the machine of a swatch', { timeout: 20_000 }, () => {
  it('is added with its needles, which become the swatch’s', async () => {
    const { storage, now, user } = await openPanel();
    await user.selectOptions(screen.getByLabelText('Machine'), 'A new machine…');
    await user.type(screen.getByLabelText('Name of the machine'), 'Loft machine');
    await user.type(screen.getByLabelText('Needles of its cylinder'), '7O');
    await user.click(button('Add this machine'));
    expect((await screen.findByRole('alert')).textContent).toContain('whole number');
    await user.clear(screen.getByLabelText('Needles of its cylinder'));
    await user.type(screen.getByLabelText('Needles of its cylinder'), '72');
    await user.click(button('Add this machine'));
    await waitFor(() => expect(now.swatch.cylinderNeedles).toBe(72));
    expect(await storage.machines.list()).toMatchObject([{ name: 'Loft machine', cylinderNeedles: [72] }]);
  });

  it('may get another cylinder', async () => {
    const { storage, now, user } = await openPanel(machineWith72);
    await user.type(screen.getByLabelText('Its needles'), '60');
    await user.click(button('Add this cylinder'));
    await waitFor(() => expect(now.swatch.cylinderNeedles).toBe(60));
    expect(await storage.machines.list()).toMatchObject([{ cylinderNeedles: [60, 72] }]);
  });
});

describe('the caliper reading', { timeout: 20_000 }, () => {
  it.each([
    ['28,91', 'mm', 28.91],
    ['28.91', 'mm', 28.91],
    ['1 1/8 in', 'in', 28.575],
    ['0,987"', 'in', 25.0698],
    ['2.5 cm', 'mm', 25],
  ])('reads %j', async (typed, unit, mm) => {
    const { now, user } = await openPanel();
    await user.type(reading(), `${typed}{Enter}`);
    expect(now.swatch.reading).toMatchObject({ unit, repeats: [{ typed }] });
    expect(now.swatch.reading!.repeats[0]!.mm).toBeCloseTo(mm, 6);
  });

  it('shows the mean and the spread of its repeats', async () => {
    const { now, user } = await openPanel();
    for (const typed of ['28.90', '28.94', '28.92']) await user.type(reading(), `${typed}{Enter}`);
    expect(now.swatch.reading?.repeats.map(({ mm }) => mm)).toEqual([28.9, 28.94, 28.92]);
    const summary = screen.getByTestId('reading-summary').textContent;
    expect(summary).toMatch(/28\.92 ± 0\.\d+ mm/);
    expect(summary).toContain('mean of 3, spread 0.04 mm');
    await user.click(button('Remove 28.94'));
    expect(screen.getByTestId('reading-summary').textContent).toContain('spread 0.02 mm');
  });

  it.each([
    ['calm', 0.01, 0, 0.1],
    ['shaky', 0.2, 0.25, 1],
  ])('is as sure as the %s readings of its landmark before', async (_, scatterMm, least, most) => {
    const { user } = await openPanel(async (storage) => {
      const on = await machineWith72(storage);
      const plate = { ...blankLandmark(on.machineId!, 'cam top to plate'), jaw: 'depth' } as const;
      const { id } = await storage.landmarks.save(plate);
      const mm = [28 - scatterMm, 28, 28 + scatterMm, 28 - scatterMm, 28, 28 + scatterMm];
      const repeats = mm.map((value) => ({ typed: value.toFixed(2), mm: value }));
      await storage.saveSwatch({
        ...blankSwatch(),
        ...on,
        state: 'saved',
        reading: { landmarkId: id, unit: 'mm', repeats },
      });
      return on;
    });
    await user.selectOptions(screen.getByLabelText('Measured between'), 'cam top to plate (depth rod)');
    await user.type(reading(), '28.40{Enter}');
    // With nothing known of the landmark it would be 0.15 mm.
    const plusMinus = (): number =>
      Number(/± (\d+\.\d+) mm/.exec(screen.getByTestId('reading-summary').textContent ?? '')?.[1]);
    await waitFor(() => expect(plusMinus()).toBeLessThan(most));
    await waitFor(() => expect(plusMinus()).toBeGreaterThan(least));
  });

  it('catches a slip of the hand before it counts, and lets it count when she insists', async () => {
    const { now, user } = await openPanel();
    await user.click(button('in'));
    await user.type(reading(), '0.987{Enter}');
    await user.type(reading(), '0.897{Enter}');
    expect(screen.getByRole('alert').textContent).toContain('0.09 in apart; measure again?');
    expect(now.swatch.reading?.repeats).toHaveLength(1);
    await user.click(button('I measure again'));
    await user.type(reading(), '0.985{Enter}');
    expect(now.swatch.reading?.repeats.map(({ typed }) => typed)).toEqual(['0.987', '0.985']);
    await user.type(reading(), '0.897{Enter}');
    await user.click(button('It is right, keep it'));
    expect(now.swatch.reading?.repeats).toHaveLength(3);
  });

  it('says in one sentence what is wrong with a text that is no length', async () => {
    const { now, user } = await openPanel();
    await user.type(reading(), 'about an inch{Enter}');
    expect(screen.getByRole('alert').textContent).toMatch(/^[A-Z].*\.$/);
    await user.clear(reading());
    await user.type(reading(), '2891{Enter}');
    expect(screen.getByRole('alert').textContent).toContain('No caliper is that long');
    expect(now.swatch.reading).toBeNull();
  });

  it('asks which unit a fraction is of while millimetres are usual', async () => {
    const { now, user } = await openPanel();
    await user.type(reading(), '1 1/8{Enter}');
    expect(screen.getByRole('alert').textContent).toContain('1 1/8 in or 1 1/8 mm');
    expect(now.swatch.reading).toBeNull();
    await user.type(reading(), ' in{Enter}');
    expect(now.swatch.reading?.repeats).toMatchObject([{ typed: '1 1/8 in', mm: 28.575 }]);
  });

  it('takes no more than nine repeats', async () => {
    const { now, user } = await openPanel();
    for (let i = 0; i < 9; i++) await user.type(reading(), `28.9${i}{Enter}`);
    expect(now.swatch.reading?.repeats).toHaveLength(9);
    expect(screen.queryByLabelText(/Measured again/)).toBeNull();
  });

  it('stands beside a caution that fits the part of the caliper that touches', async () => {
    const { user } = await openPanel(machineWith72);
    const form = screen.getByRole('form', { name: 'Caliper reading' });
    expect(form.textContent).toMatch(/Crank still, hands clear of needles and cam/);
    expect(form.textContent).not.toContain('depth rod');
    await user.selectOptions(screen.getByLabelText('Measured between'), 'Two new points…');
    await user.type(screen.getByLabelText('From where to where'), 'nut to plate');
    await user.click(button('Depth rod'));
    await user.click(button('Add these points'));
    await waitFor(() => expect(form.textContent).toContain('depth rod'));
  });

  it('belongs to two points of the machine, and forgets them when the machine changes', async () => {
    const { now, user } = await openPanel(async (storage) => {
      const first = await machineWith72(storage);
      await storage.landmarks.save({ ...blankLandmark(first.machineId!, 'nut to plate'), id: 'nut' });
      await storage.machines.save({ ...blankMachine('Shed machine'), id: 'shed', cylinderNeedles: [60, 54] });
      return first;
    });
    await user.selectOptions(screen.getByLabelText('Measured between'), 'nut to plate (outside jaws)');
    await user.type(reading(), '28.91{Enter}');
    expect(now.swatch.reading?.landmarkId).toBe('nut');
    await user.selectOptions(screen.getByLabelText('Machine'), 'Shed machine');
    expect(now.swatch).toMatchObject({ machineId: 'shed', cylinderNeedles: null });
    expect(now.swatch.reading).toMatchObject({ landmarkId: null, repeats: [{ typed: '28.91' }] });
  });
});

describe('saving a swatch', { timeout: 20_000 }, () => {
  it('shows where the caliper goes at the chosen points', async () => {
    const { user } = await openPanel(async (storage) => {
      const machine = await machineWith72(storage);
      const points = blankLandmark(String(machine.machineId), 'nut to bracket');
      await storage.landmarks.save({
        ...withLandmarkProfile(points),
        description: 'left of the yarn carrier',
        sloping: true,
        mark: 'the red paint',
      } as LandmarkRecord);
      return machine;
    });
    expect(screen.queryByText('left of the yarn carrier')).toBeNull();
    await user.selectOptions(screen.getByLabelText('Measured between'), 'nut to bracket (outside jaws)');
    screen.getByText('Measure to the red paint.');
    screen.getByText('left of the yarn carrier');
  });

  it('offers yarn, machine, cylinder and points of the swatch that was finished last, and takes nothing unasked', async () => {
    const { now, user } = await openPanel(async (storage) => {
      const yarn = await storage.yarns.save(blankYarn('Harbour sock'));
      const { machineId } = await machineWith72(storage);
      const points = await storage.landmarks.save(blankLandmark(String(machineId), 'nut to plate'));
      const finished = {
        ...blankSwatch(),
        state: 'saved' as const,
        yarnId: yarn.id,
        machineId: machineId ?? null,
        cylinderNeedles: 72,
        reading: { landmarkId: points.id, unit: 'in' as const, repeats: [{ typed: '1.125', mm: 28.575 }] },
      };
      await storage.saveSwatch(finished);
      return {};
    });
    const offer = await screen.findByRole('button', {
      name: 'As last time: Harbour sock, Loft machine, 72 needles',
    });
    expect(now.swatch).toMatchObject({ yarnId: null, machineId: null, reading: null });
    await user.click(offer);
    expect(now.swatch.cylinderNeedles).toBe(72);
    expect(now.swatch.yarnId).not.toBeNull();
    expect(screen.queryByRole('button', { name: /^As last time/ })).toBeNull();
    await user.type(reading(), '1.120{Enter}');
    expect(now.swatch.reading).toMatchObject({ unit: 'in', landmarkId: expect.any(String) });
  });

  it('keeps rest state and notes, and takes in a reading that was typed and not added', async () => {
    const { now, user } = await openPanel();
    await user.click(screen.getByLabelText('Washed and dried'));
    await user.type(screen.getByLabelText('Notes'), 'second cone');
    await user.type(reading(), '28.91');
    await user.click(button('Save in the notebook'));
    await screen.findByText('Saved in the notebook.');
    expect(now.saves).toHaveLength(1);
    expect(now.saves[0]).toMatchObject({
      restState: 'washedAndDried',
      notes: 'second cone',
      reading: { repeats: [{ typed: '28.91', mm: 28.91 }] },
    });
  });

  it('does not leave a half-typed reading or an open form behind', async () => {
    const { now, user } = await openPanel();
    await user.type(reading(), 'x');
    await user.click(button('Save in the notebook'));
    expect(within(screen.getByRole('form', { name: 'Caliper reading' })).getByRole('alert')).toBeTruthy();
    await user.clear(reading());
    await user.selectOptions(screen.getByLabelText('Yarn'), 'A new yarn…');
    await user.click(button('Save in the notebook'));
    expect(screen.getByText(/The new yarn is not added yet/)).toBeTruthy();
    expect(now.saves).toEqual([]);
    await user.click(button('Never mind'));
    await user.click(button('Save in the notebook'));
    await waitFor(() => expect(now.saves).toHaveLength(1));
  });
});
