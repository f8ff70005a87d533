import { cleanup, fireEvent, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, describe, expect, it } from 'vitest';
import type { PhotoDot } from '../../src/domain/machineRecords';
import { PhotoDots } from '../../src/features/machine/landmarks/PhotoDots';

afterEach(cleanup);

interface Now {
  dots: readonly PhotoDot[];
}

/** The photo with somebody who holds its points, as the form does. */
const Held = ({ now }: { readonly now: Now }) => {
  const [dots, setDots] = useState(now.dots);
  return (
    <PhotoDots
      url="data:,"
      dots={dots}
      onChange={(next) => {
        now.dots = next;
        setDots(next);
      }}
    />
  );
};

const openPhoto = (dots: readonly PhotoDot[] = []) => {
  const now: Now = { dots };
  render(<Held now={now} />);
  return { now, user: userEvent.setup({ delay: null }) };
};

describe('the two points on a landmark’s photo', () => {
  it('are put on it, moved with the arrow keys, and taken off', async () => {
    const { now, user } = openPhoto();
    await user.click(screen.getByRole('button', { name: 'Mark the two points' }));
    expect(now.dots).toHaveLength(2);
    const before = now.dots[1]!;
    screen.getByRole('button', { name: /^Point 2/ }).focus();
    await user.keyboard('{ArrowRight}{ArrowRight}{ArrowUp}');
    expect(now.dots[1]!.x).toBeCloseTo(before.x + 0.02, 9);
    expect(now.dots[1]!.y).toBeCloseTo(before.y - 0.01, 9);
    await user.click(screen.getByRole('button', { name: 'Take the points off' }));
    expect(now.dots).toEqual([]);
  });

  it('never leave the photo', async () => {
    const { now, user } = openPhoto([
      { x: 0.005, y: 0.995 },
      { x: 0.5, y: 0.5 },
    ]);
    screen.getByRole('button', { name: /^Point 1/ }).focus();
    await user.keyboard('{ArrowLeft}{ArrowLeft}{ArrowDown}');
    expect(now.dots[0]).toEqual({ x: 0, y: 1 });
  });

  it('follow the finger: the nearer one is dragged, and stays when it is let go', () => {
    const { now } = openPhoto([
      { x: 0.2, y: 0.5 },
      { x: 0.8, y: 0.5 },
    ]);
    const frame = screen.getByRole('img', { name: 'The landmark' }).parentElement!;
    frame.getBoundingClientRect = () => new DOMRect(100, 50, 400, 200);
    fireEvent.pointerDown(frame, { clientX: 400, clientY: 150, pointerId: 1 });
    fireEvent.pointerMove(frame, { clientX: 300, clientY: 100, pointerId: 1 });
    fireEvent.pointerUp(frame, { pointerId: 1 });
    fireEvent.pointerMove(frame, { clientX: 150, clientY: 60, pointerId: 1 });
    expect(now.dots).toEqual([
      { x: 0.2, y: 0.5 },
      { x: 0.5, y: 0.25 },
    ]);
  });
});
