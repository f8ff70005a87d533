import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { gridDoubt } from '../../src/domain/gridDoubt';
import type { OpenQuestion, ReferenceKind, ScaleReference } from '../../src/domain/measurement';
import { withPrintScale } from '../../src/domain/referenceSheet';
import { withStep } from '../../src/domain/referenceStep';
import { scaleDoubts } from '../../src/domain/scaleDoubt';
import { ScalePanel } from '../../src/features/measure/scale/ScalePanel';
import { flatPlane, openMat } from '../builders/flatMeasurement';
import { scaleActs } from '../builders/scaleActs';

afterEach(cleanup);

const found = (kind: ReferenceKind, question: OpenQuestion): ScaleReference => ({
  ...openMat(),
  kind,
  question,
  sentence: 'Something was found. Which is it?',
});

const sheet: ScaleReference = { ...found('sheet', 'checkRulers'), plane: flatPlane, unitPlane: flatPlane };

type Given = Partial<
  Pick<Parameters<typeof ScalePanel>[0], 'scale' | 'remembered' | 'doubts' | 'seenStep' | 'unitDoubt'>
>;

/** Shows the panel for one reference and gives what its buttons call. */
const show = (reference: ScaleReference | null, given: Given = {}) => {
  const acts = scaleActs();
  render(
    <ScalePanel
      references={reference ? [reference] : []}
      current={reference && { reference, index: 0 }}
      scale={null}
      remembered={[]}
      doubts={[]}
      seenStep={null}
      unitDoubt={null}
      thicknessMm={null}
      layers={1}
      {...acts}
      {...given}
    />,
  );
  return acts;
};
const tap = (name: string | RegExp) => userEvent.click(screen.getByRole('button', { name }));

describe('a ruler', () => {
  it.each([
    ['1 mm', 1],
    ['1/16 inch', 1.5875],
  ])('has marks that are %s apart at a tap', async (label, mm) => {
    const { onConfirm } = show(found('ruler', 'tickPitch'));
    screen.getByText('How far apart are the marks of this ruler?');
    await tap(label);
    expect(onConfirm).toHaveBeenCalledExactlyOnceWith(mm, null);
  });

  it.each([
    [8, ['1/8 inch', '1/16 inch', '1/32 inch', '1 mm']],
    [10, ['1 mm', '1/10 inch', '1/16 inch']],
    [16, ['1/16 inch', '1/32 inch', '1 mm']],
  ])('whose every %dth mark is longer offers first what that speaks for', (longMarkEvery, labels) => {
    show({ ...found('ruler', 'tickPitch'), longMarkEvery });
    const offered = screen.getAllByRole('button', { name: /^1(\/\d+ inch| mm)$/ });
    expect(offered.map(({ textContent }) => textContent)).toEqual(labels);
  });

  it('takes any other spacing as typed', async () => {
    const { onConfirm } = show(found('ruler', 'tickPitch'));
    await userEvent.type(screen.getByLabelText('Another length'), '1/32 in{Enter}');
    expect(onConfirm.mock.calls[0]?.[0]).toBeCloseTo(0.79375, 9);
  });

  it('is asked about once more where its longer marks speak against the spacing, which she may keep', async () => {
    const { onConfirm } = show({ ...found('ruler', 'tickPitch'), longMarkEvery: 16 });
    await tap('1 mm');
    expect(onConfirm).not.toHaveBeenCalled();
    expect(screen.getByRole('alert').textContent).toContain(
      'Every 16th mark of this ruler is longer, but in millimetres it is every 5th or every 10th',
    );
    await tap('Keep 1 mm');
    expect(onConfirm).toHaveBeenCalledExactlyOnceWith(1, null);
  });

  it('is not asked about again where its longer marks agree, or were not made out', async () => {
    const { onConfirm } = show({ ...found('ruler', 'tickPitch'), longMarkEvery: 16 });
    await tap('1/16 inch');
    cleanup();
    const other = show({ ...found('ruler', 'tickPitch'), longMarkEvery: null });
    await tap('1 mm');
    expect(onConfirm).toHaveBeenCalledExactlyOnceWith(1.5875, null);
    expect(other.onConfirm).toHaveBeenCalledExactlyOnceWith(1, null);
  });
});

describe('a mat that is not quite true', () => {
  const mat = openMat();
  const inUse = (pitchMm: number) => ({
    reference: withStep(mat, pitchMm),
    confirmedBy: 'user' as const,
    namedReferenceId: 'n1',
  });
  const named = {
    id: 'n1',
    name: 'my green mat',
    kind: 'grid' as const,
    pitchMm: 25.45,
    lastUsedAt: '2026-01-01T00:00:00Z',
  };

  it('is measured over several spacings', async () => {
    const { onMeasured } = show(mat, { scale: inUse(25.4), remembered: [named] });
    await userEvent.type(screen.getByLabelText('measure together'), '127,25');
    await tap('Use what I measured');
    expect(onMeasured.mock.calls[0]?.[0]).toBeCloseTo(25.45, 9);
  });

  it('is not taken to be off by more than a mat can be, and the sentence says what was expected', async () => {
    const { onMeasured } = show(mat, { scale: inUse(25.4), remembered: [named] });
    await userEvent.type(screen.getByLabelText('measure together'), '101.8');
    await tap('Use what I measured');
    expect(screen.getByRole('alert').textContent).toMatch(/5 spacings should be about 127.00 mm/);
    expect(onMeasured).not.toHaveBeenCalled();
  });

  it('is proposed again, and used, with its unit and what it measured', () => {
    show(mat, { remembered: [named] });
    screen.getByRole('button', { name: 'It is my green mat: 1 inch, measured 25.45 mm' });
    cleanup();
    show(mat, { scale: inUse(25.45), remembered: [named] });
    screen.getByText(/“my green mat”: 1 inch, measured 25\.45 mm/);
  });
});

describe('a coin', () => {
  it('is searched by country or name and gives its diameter and thickness', async () => {
    const { onCoin } = show(found('coin', 'coinDiameter'));
    await userEvent.type(screen.getByLabelText('Country or name of the coin'), 'united states 25');
    // United States Mint, Coin Specifications: 24.26 mm wide, 1.75 mm thick.
    await tap(/25 cents, United States 24\.26 mm/);
    expect(onCoin).toHaveBeenCalledExactlyOnceWith(24.26, 1.75);
  });

  it('shows which others look the same, never one that is not round, and a few at a time', async () => {
    show(found('coin', 'coinDiameter'));
    const search = screen.getByLabelText('Country or name of the coin');
    await userEvent.type(search, '1 euro');
    screen.getByText(/Much like .*1 franc, Switzerland/);
    await userEvent.clear(search);
    await userEvent.type(search, 'united kingdom');
    const list = screen.getByRole('list', { name: 'Coins found' });
    expect(within(list).queryByText(/50 pence/)).toBeNull();
    await userEvent.clear(search);
    await userEvent.type(search, '1');
    expect(within(screen.getByRole('list', { name: 'Coins found' })).getAllByRole('button')).toHaveLength(6);
    screen.getByText(/more: type more of the name/);
  });

  it('takes a typed diameter when it is not listed', async () => {
    const { onCoin } = show(found('coin', 'coinDiameter'));
    await userEvent.type(screen.getByLabelText('Country or name of the coin'), 'atlantis');
    screen.getByText(/No round coin of that name/);
    await userEvent.type(screen.getByLabelText('Or its diameter'), '21,5 mm{Enter}');
    expect(onCoin).toHaveBeenCalledExactlyOnceWith(21.5, null);
  });
});

describe('a reference with a wide ±', () => {
  const coin: ScaleReference = {
    ...withStep({ ...openMat(), kind: 'coin' }, 23.25),
    plane: { ...flatPlane, relativeUncertainty: 0.021 },
    unitPlane: { ...flatPlane, relativeUncertainty: 0.021 },
  };
  const doubts = scaleDoubts(coin, [], { x: 0, y: 0 });
  const advice =
    /± 4\.2 %, too wide for a gauge: lay it nearer to the swatch, photograph from straight above/;

  it('says so, and what to do, before it is told its size', () => {
    show({ ...coin, question: 'coinDiameter', plane: null }, { doubts });
    within(screen.getByRole('list', { name: 'Doubts about the scale' })).getByText(advice);
  });

  it('is used only by a button that names the ±', async () => {
    const scale = { reference: coin, confirmedBy: 'user' as const, namedReferenceId: null };
    const { onNext } = show(null, { scale, doubts });
    screen.getByText(advice);
    expect(screen.queryByRole('button', { name: 'Go to the stitches' })).toBeNull();
    await tap('Use it all the same, ± 4.2 %');
    expect(onNext).toHaveBeenCalledOnce();
  });
});

describe('a sheet of paper', () => {
  it.each([
    ['A4, 297 × 210 mm', 'A4'],
    ['A5, 210 × 148 mm', 'A5'],
    ['A6, 148 × 105 mm', 'A6'],
    ['Letter, 11 × 8½ in', 'Letter'],
  ])('is %s at a tap', async (label, name) => {
    const { onPaper } = show(found('paper', 'paperSize'));
    await tap(label);
    expect(onPaper).toHaveBeenCalledExactlyOnceWith(name);
  });
});

describe('the printed sheet', () => {
  it('is used at true size when both check rulers are right', async () => {
    const { onPrint } = show(sheet);
    await tap('Both measure 140 mm');
    expect(onPrint).toHaveBeenCalledExactlyOnceWith({ across: 1, along: 1 }, null);
  });

  it('takes what both check rulers measure, in mm or inches', async () => {
    const { onPrint } = show(sheet);
    await userEvent.type(screen.getByLabelText('Check ruler across'), '138.6');
    await userEvent.type(screen.getByLabelText('Check ruler along'), '5.5 in{Enter}');
    const print = onPrint.mock.calls[0]?.[0];
    expect(print.across).toBeCloseTo(0.99, 9);
    expect(print.along).toBeCloseTo(139.7 / 140, 9);
  });

  it('refuses what no check ruler can measure, says so and changes nothing', async () => {
    const { onPrint } = show(sheet);
    await userEvent.type(screen.getByLabelText('Check ruler across'), '14');
    await userEvent.type(screen.getByLabelText('Check ruler along'), '140{Enter}');
    expect(screen.getByRole('alert').textContent).toMatch(/about 140 mm/);
    expect(onPrint).not.toHaveBeenCalled();
  });

  it('is proposed again as it was measured once', async () => {
    const print = { across: 0.995, along: 0.99 };
    const named = {
      id: 'n1',
      name: 'my printed sheet',
      kind: 'sheet' as const,
      pitchMm: null,
      lastUsedAt: '2026-01-01T00:00:00Z',
      printScale: print,
    };
    const { onPrint } = show(sheet, { remembered: [named] });
    await tap('It is my printed sheet: 139.3 × 138.6 mm');
    expect(onPrint).toHaveBeenCalledExactlyOnceWith(print, named);
  });

  it('may be used before its check rulers were measured, and goes on asking for them', async () => {
    const { onPrint } = show(sheet);
    await tap('Not measured yet: go on with a wider ±');
    expect(onPrint).toHaveBeenCalledExactlyOnceWith(null, null);
    cleanup();
    const doubts = scaleDoubts(sheet, [], { x: 0, y: 0 });
    const scale = { reference: sheet, confirmedBy: 'user' as const, namedReferenceId: null };
    const { onReopen } = show(null, { scale, doubts });
    screen.getByText(/What the two check rulers of this print measure has not been said/);
    await tap('Say what they measure');
    expect(onReopen).toHaveBeenCalledOnce();
  });

  it('says what its check rulers measured once it is confirmed', () => {
    const reference = withPrintScale(sheet, { across: 0.995, along: 1 });
    show(null, { scale: { reference, confirmedBy: 'user', namedReferenceId: null } });
    screen.getByText(/139\.3 × 140\.0 mm/);
  });
});

describe('a caliper', () => {
  it('can be pointed out and is then asked for its reading', async () => {
    const { onCaliper } = show(null);
    await tap('Use an opened caliper');
    expect(onCaliper).toHaveBeenCalledOnce();
    cleanup();
    const { onConfirm } = show(found('caliper', 'length'));
    screen.getByText('What does the caliper read?');
    await userEvent.type(screen.getByLabelText('Length'), '1 in{Enter}');
    expect(onConfirm).toHaveBeenCalledExactlyOnceWith(25.4, null);
  });
});

describe('several references in one photo', () => {
  it('show it where they disagree', () => {
    const sentence = 'The mat and the card disagree: 50.0 mm and 51.0 mm.';
    show(openMat(), { doubts: [{ kind: 'disagreement', sentence, asks: true }] });
    within(screen.getByRole('list', { name: 'Doubts about the scale' })).getByText(/50\.0 mm and 51\.0 mm/);
  });

  it('let one propose the spacing of the other without settling it', () => {
    const seenStep = { step: { value: 25.42, plusMinus95: 0.1 }, by: 'the card' };
    const { onConfirm } = show(openMat(), { seenStep });
    screen.getByText('By the card it would be 25.42 ± 0.10 mm.');
    expect(onConfirm).not.toHaveBeenCalled();
  });

  it('ask again when a grid makes a gauge that no sock machine knits', async () => {
    const reference = withStep(openMat(), 10);
    const unitDoubt = gridDoubt(reference, 20.32);
    const scale = { reference, confirmedBy: 'user' as const, namedReferenceId: null };
    const { onPitch } = show(reference, { scale, unitDoubt });
    expect(screen.getByRole('alert').textContent).toMatch(/20\.3 stitches per inch/);
    await tap('1 inch: 8.0 stitches per inch');
    expect(onPitch.mock.calls[0]?.[0]).toBeCloseTo(25.4, 9);
    await tap('1 cm is right');
    expect(onPitch).toHaveBeenLastCalledWith(10);
  });
});
