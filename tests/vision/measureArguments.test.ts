import { describe, expect, it } from 'vitest';
import { commandFrom } from '../../cli/arguments';
import { UsageError } from '../../cli/usage';

const measuring = (...words: string[]) => {
  const command = commandFrom(words);
  if (command.kind !== 'measure') throw new Error('Expected a command to measure.');
  return command;
};

describe('the words of the command line', () => {
  it('ask for nothing but photos when only photos are named', () => {
    expect(measuring('a.jpg', 'b.png')).toEqual({
      kind: 'measure',
      paths: ['a.jpg', 'b.png'],
      gridPitchMm: null,
      reference: 'auto',
      region: null,
      thicknessMm: null,
      layers: 1,
      json: false,
    });
  });

  it('may stand in any order and write a value after a space or an equals sign', () => {
    const command = measuring('--json', '--grid-pitch=1in', 'a.jpg', '--reference', 'card', '--layers', '2');
    expect(command).toMatchObject({ json: true, gridPitchMm: 25.4, reference: 'card', layers: 2 });
    expect(measuring('a.jpg', '--region', '10,20.5,300,400').region).toEqual({
      x0: 10,
      y0: 20.5,
      x1: 300,
      y1: 400,
    });
  });

  it.each([
    ['1in', 25.4],
    ['1"', 25.4],
    ['1cm', 10],
    ['25.4mm', 25.4],
    ['12,7 mm', 12.7],
    ['1/2in', 12.7],
    ['1 1/2in', 38.1],
    ['2.5CM', 25],
  ])('read the length %s as %f mm', (typed, mm) => {
    expect(measuring('a.jpg', '--grid-pitch', typed).gridPitchMm).toBeCloseTo(mm, 9);
  });

  it.each([
    [['--grid-pitch', '25.4', 'a.jpg'], /needs a unit/],
    [['--grid-pitch', 'wide', 'a.jpg'], /takes a length/],
    [['--grid-pitch', '1ft', 'a.jpg'], /takes a length/],
    [['--grid-pitch', '1/0in', 'a.jpg'], /takes a length/],
    [['--grid-pitch', '-1in', 'a.jpg'], /takes a length/],
    [['--grid-pitch', '9in', 'a.jpg'], /between 2 mm and 200 mm/],
    [['--grid-pitch'], /needs a value/],
    [['--grid-pitch', '1in', '--grid-pitch', '1cm', 'a.jpg'], /given twice/],
    [['--reference', 'shoe', 'a.jpg'], /one of auto, grid, card, ruler, coin, paper, none/],
    [['--region', '1,2,3', 'a.jpg'], /four numbers/],
    [['--region', '1,2,x,4', 'a.jpg'], /four numbers/],
    [['--region', '30,2,10,4', 'a.jpg'], /upper left/],
    [['--thickness', '2m', 'a.jpg'], /takes a length/],
    [['--thickness', '50mm', 'a.jpg'], /between 0.1 mm and 20 mm/],
    [['--layers', '3', 'a.jpg'], /--layers is 1/],
    [['--colour', 'red', 'a.jpg'], /not an option/],
    [[], /No photo/],
  ])('are refused with one sentence: %j', (words, says) => {
    expect(() => commandFrom(words)).toThrow(UsageError);
    expect(() => commandFrom(words)).toThrow(says);
  });

  it('ask for help whatever else they say', () => {
    expect(commandFrom(['--help'])).toEqual({ kind: 'help' });
  });
});
