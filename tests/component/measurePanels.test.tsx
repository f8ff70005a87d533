import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import { evennessOf } from '../../src/domain/evenness';
import { gaugeOf, summariseGauge } from '../../src/domain/gaugeOf';
import { withStep } from '../../src/domain/referenceStep';
import { GaugePanel } from '../../src/features/measure/gauge/GaugePanel';
import { ScalePanel } from '../../src/features/measure/scale/ScalePanel';
import { Waiting } from '../../src/features/measure/Waiting';
import { flatMeasurement, flatPlane, openMat } from '../builders/flatMeasurement';
import { scaleActs } from '../builders/scaleActs';

afterEach(cleanup);

const measurement = flatMeasurement();

const scaleProps = () => ({
  references: measurement.references,
  current: { reference: openMat(), index: 0 },
  scale: null,
  remembered: [],
  doubts: [],
  seenStep: null,
  unitDoubt: null,
  thicknessMm: null,
  layers: 1 as const,
  ...scaleActs(),
});

describe('the scale step', () => {
  it('asks for the spacing and takes inch or centimetre only from her', async () => {
    const props = scaleProps();
    render(<ScalePanel {...props} />);
    screen.getByText('How far apart are the heavy lines of this mat?');
    expect(props.onConfirm).not.toHaveBeenCalled();
    await userEvent.click(screen.getByRole('button', { name: '1 cm' }));
    expect(props.onConfirm).toHaveBeenCalledExactlyOnceWith(10, null);
  });

  it.each([
    ['1/2 in', 12.7],
    ['2,5 cm', 25],
    ['1 1/8"', 28.575],
  ])('takes the typed length %s as %d mm', async (typed, mm) => {
    const props = scaleProps();
    render(<ScalePanel {...props} />);
    await userEvent.type(screen.getByLabelText('Another length'), `${typed}{Enter}`);
    expect(props.onConfirm).toHaveBeenCalledOnce();
    expect(props.onConfirm.mock.calls[0]?.[0]).toBeCloseTo(mm, 9);
  });

  it('asks for neighbouring lines where none is heavier than the others', () => {
    const alike = { ...openMat(), gridLines: 'neighbouring' as const };
    render(<ScalePanel {...scaleProps()} references={[alike]} current={{ reference: alike, index: 0 }} />);
    screen.getByText('How far apart are two neighbouring lines of this mat?');
    expect(screen.queryByText(/heavy lines/)).toBeNull();
  });

  it('asks for the lines that are drawn where heavy and fine ones are hard to tell apart', () => {
    const second = { ...openMat(12.7), gridLines: 'unclear' as const };
    const props = {
      ...scaleProps(),
      references: [openMat(), second],
      current: { reference: second, index: 1 },
    };
    const { rerender } = render(<ScalePanel {...props} />);
    screen.getByText('How far apart are two neighbouring lines of those that are drawn on the photo now?');
    expect(screen.queryByText(/heavy lines/)).toBeNull();
    const scale = {
      reference: withStep(second, 12.7),
      confirmedBy: 'user' as const,
      namedReferenceId: null,
    };
    rerender(<ScalePanel {...props} scale={scale} />);
    screen.getByText('From one drawn line to the next.');
  });

  it('refuses a length without a unit, says so and changes nothing', async () => {
    const props = scaleProps();
    render(<ScalePanel {...props} />);
    await userEvent.type(screen.getByLabelText('Another length'), '1{Enter}');
    expect(screen.getByRole('alert').textContent).toMatch(/unit|mm|in/);
    expect(props.onConfirm).not.toHaveBeenCalled();
  });

  it('proposes a remembered mat and still waits for the tap', async () => {
    const named = {
      id: 'n1',
      name: 'my green mat',
      kind: 'grid' as const,
      pitchMm: 25.4,
      lastUsedAt: '2026-01-01T00:00:00Z',
    };
    const props = { ...scaleProps(), remembered: [named] };
    render(<ScalePanel {...props} />);
    expect(props.onConfirm).not.toHaveBeenCalled();
    await userEvent.click(screen.getByRole('button', { name: 'It is my green mat: 1 inch' }));
    expect(props.onConfirm).toHaveBeenCalledExactlyOnceWith(25.4, named);
  });

  it('says plainly that one length tells nothing about tilt', () => {
    const reference = {
      ...withStep(openMat(), 50),
      kind: 'twoPoints' as const,
      plane: { ...flatPlane, tiltRad: null },
    };
    const scale = { reference, confirmedBy: 'user' as const, namedReferenceId: null };
    render(<ScalePanel {...scaleProps()} scale={scale} />);
    screen.getByText(/One length says nothing about how the camera was tilted/);
  });

  it('offers two points when nothing of known length was found', async () => {
    const props = { ...scaleProps(), references: [], current: null };
    render(<ScalePanel {...props} />);
    await userEvent.click(screen.getByRole('button', { name: 'Use two points of known distance' }));
    expect(props.onTwoPoints).toHaveBeenCalledOnce();
  });
});

const result = gaugeOf(measurement.stitches.grid!, measurement.stitches.window!, flatPlane, {
  thicknessMm: null,
  layers: 1,
});
const gaugeProps = (status: 'measured' | 'proposal' | 'byHand') => ({
  result,
  summary: result.ok ? summariseGauge(result, status) : null,
  finding: {
    ...measurement.stitches,
    confidence: { status: 'proposal' as const, chance: 0.62, reasons: ['The rows are hard to tell apart.'] },
  },
  numbered: { wales: 20, courses: 30 },
  evenness: evennessOf(measurement.stitches.grid!, measurement.stitches.window!, flatPlane),
  map: null,
  onMap: vi.fn(),
  hasScale: true,
  scaleDoubts: [],
  spirality: { value: 0.03, plusMinus95: 0.005 },
  layers: 1 as const,
  onLayers: vi.fn(),
  onScale: vi.fn(),
  onStitches: vi.fn(),
  onNext: vi.fn(),
});

describe('the gauge step', () => {
  it('shows both densities with their ±, per inch and per 10 cm, and the count by hand', () => {
    render(<GaugePanel {...gaugeProps('measured')} />);
    const numbers = screen.getAllByText(/±/).map((element) => element.textContent ?? '');
    // 8 and 11 to the inch are 31.5 and 43.3 to 10 cm (1 in = 25.4 mm).
    expect(numbers.some((text) => /^8(\.0+)? ± /.test(text))).toBe(true);
    expect(numbers.some((text) => /^11(\.0+)? ± /.test(text))).toBe(true);
    expect(numbers.some((text) => /^31\.\d+ ± .* per 10 cm$/.test(text))).toBe(true);
    expect(numbers.some((text) => /^43\.\d+ ± .* per 10 cm$/.test(text))).toBe(true);
    screen.getByText('8.0 counted over 5 one-inch places: 8, 8, 8, 8, 8');
    screen.getByText(/20 whole columns and 30 whole rows/);
  });

  it('says why more lines are numbered on the photo than are counted whole', () => {
    render(<GaugePanel {...gaugeProps('measured')} numbered={{ wales: 21, courses: 30 }} />);
    screen.getByText(
      /20 whole columns and 30 whole rows in the window\. 1 more column only touches its edges\./,
    );
    cleanup();
    render(<GaugePanel {...gaugeProps('measured')} numbered={{ wales: 21, courses: 32 }} />);
    screen.getByText(/1 more column and 2 more rows only touch its edges\./);
    cleanup();
    render(<GaugePanel {...gaugeProps('measured')} />);
    expect(screen.queryByText(/its edges/)).toBeNull();
  });

  it('says how far rows lean off square to the columns, and calls square what its ± covers', () => {
    render(<GaugePanel {...gaugeProps('measured')} />);
    // 0.03 rad and 0.005 rad in degrees.
    screen.getByText(/Rows lean 1\.72 ± 0\.29° off square to the columns \(spirality\)\./);
    cleanup();
    render(<GaugePanel {...gaugeProps('measured')} spirality={{ value: 0.003, plusMinus95: 0.005 }} />);
    screen.getByText(/Rows and columns are square to each other, to within 0\.3°\./);
  });

  it('gives needle positions beside stitches where there are gaps, and says what a gap is', () => {
    const { grid, window } = measurement.stitches;
    const wales = grid!.wales.map((line, i) =>
      i % 4 === 3 ? { ...line, kind: 'needleGap' as const } : line,
    );
    const ribbed = gaugeOf({ ...grid!, wales }, window!, flatPlane, { thicknessMm: null, layers: 1 });
    render(<GaugePanel {...gaugeProps('measured')} result={ribbed} />);
    // Eight needles to the inch, every fourth without a stitch.
    expect(screen.getByText('needle positions per inch').parentElement?.textContent).toMatch(/^8(\.0+)? ± /);
    expect(screen.getByText('stitches per inch').parentElement?.textContent).toMatch(/^6(\.0+)? ± /);
    screen.getByText(/purl column that the rib hides/);
    cleanup();
    render(<GaugePanel {...gaugeProps('measured')} />);
    expect(screen.queryByText('needle positions per inch')).toBeNull();
  });

  it('says what is in doubt about the scale whoever found the lines right, and leads there', async () => {
    const doubt = { kind: 'wide' as const, sentence: 'The coin is far away.', asks: true };
    const props = { ...gaugeProps('byHand'), scaleDoubts: [doubt] };
    render(<GaugePanel {...props} />);
    screen.getByText('The coin is far away.');
    expect(screen.getByText('stitches per inch').parentElement?.textContent).toMatch(/scale in doubt$/);
    await userEvent.click(screen.getByRole('button', { name: 'Look at the scale' }));
    expect(props.onScale).toHaveBeenCalledOnce();
    cleanup();
    render(<GaugePanel {...props} scaleDoubts={[{ ...doubt, kind: 'checkRulers' }]} />);
    screen.getByRole('button', { name: 'Say what the check rulers measure' });
  });

  it('does not speak of chances where only the scale makes a proposal of sure lines', () => {
    const confidence = { status: 'measured' as const, chance: 0.995, reasons: [] };
    const doubt = { kind: 'limited' as const, sentence: 'The card is small.', asks: false };
    const finding = { ...measurement.stitches, confidence };
    render(<GaugePanel {...gaugeProps('proposal')} finding={finding} scaleDoubts={[doubt]} />);
    screen.getByText('A proposal: the lines are sure to within 1 %, the scale is what limits the numbers.');
    expect(screen.queryByRole('button', { name: 'Look over the lines' })).toBeNull();
  });

  it('says why a proposal is one and leads to the lines that settle it', async () => {
    const props = gaugeProps('proposal');
    render(<GaugePanel {...props} />);
    screen.getByText(/62 %/);
    screen.getByText(/The rows are hard to tell apart/);
    await userEvent.click(screen.getByRole('button', { name: 'Look over the lines' }));
    expect(props.onStitches).toHaveBeenCalledOnce();
  });

  it('does not call lines sure that stand too close together, and names them as the photo does', () => {
    const { grid, window } = measurement.stitches;
    const extra = grid!.wales[14]!;
    const half = (grid!.wales[15]!.points[0]!.x - extra.points[0]!.x) / 2;
    const twice = {
      ...extra,
      id: 'twice',
      points: extra.points.map((p) => photoPoint(p.x + half, p.y)),
    };
    const wales = [...grid!.wales.slice(0, 15), twice, ...grid!.wales.slice(15)];
    const doubled = gaugeOf({ ...grid!, wales }, window!, flatPlane, { thicknessMm: null, layers: 1 });
    render(<GaugePanel {...gaugeProps('proposal')} result={doubled} />);
    screen.getByText('A proposal: a line seems to be missing or marked twice.');
    expect(screen.queryByText(/sure to within/)).toBeNull();
    // The window leaves five columns out, so that the doubled one is its 11th.
    screen.getByText(/Between columns 10 and 11 the step is only 0\.5 times the usual/);
  });

  it('asks whether the fabric is a tube, unless its thickness was typed', async () => {
    const props = gaugeProps('measured');
    const { rerender } = render(<GaugePanel {...props} />);
    await userEvent.click(screen.getByRole('button', { name: 'A flattened tube' }));
    expect(props.onLayers).toHaveBeenCalledExactlyOnceWith(2);
    rerender(<GaugePanel {...props} layers={null} />);
    expect(screen.queryByRole('button', { name: 'A flattened tube' })).toBeNull();
  });

  it('shows no number while there is no scale', async () => {
    const props = { ...gaugeProps('proposal'), result: null, hasScale: false };
    render(<GaugePanel {...props} />);
    expect(screen.queryByText(/±/)).toBeNull();
    await userEvent.click(screen.getByRole('button', { name: 'Say the scale' }));
    expect(props.onScale).toHaveBeenCalledOnce();
  });

  it('says how even the fabric is and colours the photo when asked', async () => {
    const props = gaugeProps('measured');
    render(<GaugePanel {...props} />);
    await userEvent.click(screen.getByText('How even the fabric is'));
    screen.getByText('No row or column stands out from the others.');
    await userEvent.click(screen.getByRole('button', { name: 'rows' }));
    expect(props.onMap).toHaveBeenCalledExactlyOnceWith('coursesPerMm');
  });

  it('opens the budget of the ± on request', async () => {
    render(<GaugePanel {...gaugeProps('measured')} />);
    const table = screen.getByRole('table', { name: 'Stitches per inch', hidden: true });
    expect(within(table).getAllByRole('row', { hidden: true }).length).toBeGreaterThan(3);
  });
});

describe('a wait', () => {
  it('says what is going on and can be cancelled once it lasts', async () => {
    const cancel = vi.fn();
    render(<Waiting working={{ sentence: 'Looking for the stitches…', share: 0.4, cancel }} />);
    expect(screen.queryByRole('status')).toBeNull();
    await screen.findByText('Looking for the stitches…');
    expect(screen.getByRole('progressbar').getAttribute('value')).toBe('0.4');
    await userEvent.click(screen.getByRole('button', { name: 'Cancel' }));
    expect(cancel).toHaveBeenCalledOnce();
  });
});
