import { describe, expect, it } from 'vitest';
import { photoPoint } from '../../src/domain/coordinates';
import {
  loupeAt,
  type PressEvent,
  type PressOutcome,
  type PressState,
  stepPress,
} from '../../src/ui/stage/pressTool';

type Step = PressEvent<string>;

const play = (events: readonly Step[]): { state: PressState<string>; outcomes: PressOutcome<string>[] } => {
  let state: PressState<string> = { kind: 'idle' };
  const outcomes: PressOutcome<string>[] = [];
  for (const event of events) {
    const step: { state: PressState<string>; outcome: PressOutcome<string> } = stepPress(state, event);
    state = step.state;
    if (step.outcome) outcomes.push(step.outcome);
  }
  return { state, outcomes };
};

const a = photoPoint(100, 100);
const near = photoPoint(102, 101);
const far = photoPoint(160, 100);
const press = (target: string | null): Step => ({ kind: 'press', at: a, target });
const move = (at = far): Step => ({ kind: 'move', at, slack: 6 });

describe('a press on the photo', () => {
  it('is a tap where it began, even when the finger trembles', () => {
    const { state, outcomes } = play([press(null), move(near), { kind: 'release', at: near }]);
    expect(outcomes).toEqual([{ kind: 'tap', at: a, target: null }]);
    expect(state.kind).toBe('idle');
  });

  it('drags the thing under it and drops it once', () => {
    const { outcomes } = play([
      press('line'),
      move(),
      move(photoPoint(170, 100)),
      { kind: 'release', at: far },
    ]);
    expect(outcomes.map((o) => o?.kind)).toEqual(['drag', 'drag', 'drop']);
    expect(outcomes.at(-1)).toMatchObject({ target: 'line', from: a, to: far });
  });

  it('drags a thing by less than a finger trembles once the finger has rested on it', () => {
    const little = move(photoPoint(101, 100));
    const release: Step = { kind: 'release', at: photoPoint(101, 100) };
    expect(play([press('line'), little, release]).outcomes.map((o) => o?.kind)).toEqual(['tap']);
    const { outcomes } = play([press('line'), { kind: 'hold' }, little, release]);
    expect(outcomes.map((o) => o?.kind)).toEqual(['drag', 'drop']);
    expect(outcomes.at(-1)).toMatchObject({ from: a, to: photoPoint(101, 100) });
  });

  it('taps the thing that it rested on when it did not move', () => {
    const { outcomes } = play([press('line'), { kind: 'hold' }, { kind: 'release', at: a }]);
    expect(outcomes).toEqual([{ kind: 'tap', at: a, target: 'line' }]);
  });

  it('leaves a drag over bare photo to the view', () => {
    const { state, outcomes } = play([press(null), move()]);
    expect(state.kind).toBe('panning');
    expect(outcomes).toEqual([]);
  });

  it.each(['escape', 'cancel', 'secondFinger'] as const)('leaves no trace of a drag after %s', (kind) => {
    const { outcomes } = play([press('corner'), move(), { kind }, { kind: 'release', at: far }]);
    expect(outcomes.map((o) => o?.kind)).toEqual(['drag', 'bail']);
  });

  it('aims with the loupe after holding still and taps where it aims', () => {
    const { outcomes } = play([press(null), { kind: 'hold' }, move(), { kind: 'release', at: far }]);
    expect(outcomes).toEqual([{ kind: 'tap', at: far, target: null }]);
  });

  it('shows the loupe while pressing, aiming and dragging, and not while the photo moves', () => {
    expect(loupeAt(play([press(null)]).state)).toEqual(a);
    expect(loupeAt(play([press('x'), move()]).state)).toEqual(far);
    expect(loupeAt(play([press(null), { kind: 'hold' }, move()]).state)).toEqual(far);
    expect(loupeAt(play([press(null), move()]).state)).toBeNull();
    expect(loupeAt(play([]).state)).toBeNull();
  });
});
