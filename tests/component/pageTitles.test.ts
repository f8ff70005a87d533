import { describe, expect, it } from 'vitest';
import { titleAt } from '../../src/app/screens';

describe('the title of a page', () => {
  it('names the place first, at every address that leads there', () => {
    expect(titleAt('/')).toBe('Measure · Walewright');
    expect(titleAt('/measure/some-swatch')).toBe('Measure · Walewright');
    expect(titleAt('/notebook/card/some-swatch')).toBe('Notebook · Walewright');
    expect(titleAt('/compare/a,b')).toBe('Compare · Walewright');
    expect(titleAt('/machine/loft/turns')).toBe('Machine · Walewright');
    expect(titleAt('/sheet')).toBe('Reference sheet · Walewright');
  });

  it('is the name of the app where nothing is', () => {
    expect(titleAt('/nowhere')).toBe('Walewright');
  });
});
