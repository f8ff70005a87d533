import { vi } from 'vitest';

/** What the buttons of the scale's panel call, each to be asked afterwards what it was given. */
export const scaleActs = () => ({
  onChoose: vi.fn(),
  onConfirm: vi.fn(),
  onCoin: vi.fn(),
  onPaper: vi.fn(),
  onPrint: vi.fn(),
  onPitch: vi.fn(),
  onReopen: vi.fn(),
  onTwoPoints: vi.fn(),
  onCaliper: vi.fn(),
  onRemember: vi.fn(),
  onMeasured: vi.fn(),
  onFabric: vi.fn(),
  onNext: vi.fn(),
});
