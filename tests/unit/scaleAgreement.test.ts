import { describe, expect, it } from 'vitest';
import type { ReferenceKind, ScaleReference } from '../../src/domain/measurement';
import { withStep } from '../../src/domain/referenceStep';
import { weighedAgainstGrid } from '../../workers/scale/agreement';
import { openMat } from '../builders/flatMeasurement';

const heavy: ScaleReference = { ...openMat(25.4), score: 0.98, gridLines: 'heavy' };
const unclear: ScaleReference = { ...heavy, score: 0.46, gridLines: 'unclear' };

/** A thing whose size is open, `stepMm` mm of which are one of its own steps. */
const openThing = (kind: ReferenceKind, stepMm: number, score: number): ScaleReference => ({
  ...openMat(stepMm),
  kind,
  score,
  question: kind === 'ruler' ? 'tickPitch' : 'paperSize',
});

/** A card by which lengths come out `factor` times as long as they are. */
const card = (factor: number, score: number): ScaleReference => ({
  ...withStep(openMat(1), factor),
  kind: 'card',
  score,
});

const offered = (...references: ScaleReference[]): string[] =>
  weighedAgainstGrid(references).map(({ kind, score }) => `${kind} ${score.toFixed(2)}`);

describe('what lies on a cutting mat', () => {
  it('stays as a check where it agrees with the mat, as one of inches or of centimetres', () => {
    expect(offered(heavy, card(1, 0.6))).toEqual(['grid 0.98', 'card 0.60']);
    expect(offered(heavy, card(10 / 25.4, 0.6))).toEqual(['grid 0.98', 'card 0.60']);
    expect(offered(heavy, openThing('ruler', 1.5875, 0.5))).toEqual(['grid 0.98', 'ruler 0.50']);
  });

  it('is not offered where it would give the mat a spacing that none has and is not sure of itself', () => {
    expect(offered(heavy, card(0.85, 0.6))).toEqual(['grid 0.98']);
    expect(offered(unclear, card(0.85, 0.6))).toEqual(['grid 0.46']);
  });

  it('is not offered where no size that it may have makes sense of the mat', () => {
    // ISO 216: A4 is 297 mm long, A5 210 mm, A6 148 mm; Letter is 11 in.
    expect(offered(heavy, openThing('paper', 210, 0.6))).toEqual(['grid 0.98', 'paper 0.60']);
    expect(offered(heavy, openThing('paper', 120, 0.6))).toEqual(['grid 0.98']);
    expect(offered(heavy, { ...openThing('ruler', 1.8, 0.5), longMarkEvery: 10 })).toEqual(['grid 0.98']);
  });

  it('is not offered where it hardly stands for anything', () => {
    expect(offered(heavy, openThing('coin', 24.26, 0.1))).toEqual(['grid 0.98']);
    expect(offered(openThing('coin', 24.26, 0.1))).toEqual(['coin 0.10']);
  });

  it('keeps its say where it is sure and speaks for another unit than she gave', () => {
    const taken = { ...withStep(heavy, 10), gridLines: 'heavy' as const };
    expect(offered(taken, card(1, 0.9))).toEqual(['grid 0.98', 'card 0.90']);
    expect(offered(taken, card(1, 0.6))).toEqual(['grid 0.98']);
  });

  it('is let alone where the mat itself is not sure', () => {
    expect(offered({ ...heavy, score: 0.5 }, card(0.85, 0.6))).toEqual(['grid 0.50', 'card 0.60']);
  });
});
