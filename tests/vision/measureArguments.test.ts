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
      tickPitchMm: null,
      coinDiameterMm: null,
      paperSize: null,
      sheetPrint: null,
      caliper: null,
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
    [['--reference', 'shoe', 'a.jpg'], /one of auto, grid, card, ruler, coin, paper, sheet, caliper, none/],
    [['--reference', 'ruler', '--tick', '1', 'a.jpg'], /needs a unit/],
    [['--reference', 'ruler', '--tick', '2in', 'a.jpg'], /between 0.39 mm and 26 mm/],
    [['--reference', 'card', '--tick', '1mm', 'a.jpg'], /--tick belongs to --reference ruler/],
    [['--reference', 'coin', '--diameter', '1cm 2', 'a.jpg'], /takes a length/],
    [['--reference', 'paper', '--size', 'A3', 'a.jpg'], /one of A4, A5, A6, letter/],
    [['--reference', 'sheet', '--check-rulers', '140mm', 'a.jpg'], /both lengths/],
    [['--reference', 'sheet', '--check-rulers', '140mm,110mm', 'a.jpg'], /about 140 mm/],
    [['--reference', 'caliper', '--opening', '1in', 'a.jpg'], /two --point/],
    [['--reference', 'caliper', '--point', '1,2', '--point', '3,4', 'a.jpg'], /what it reads/],
    [['--reference', 'caliper', '--point', '1;2', '--point', '3,4', '--opening', '1in', 'a.jpg'], /x,y/],
    [['--point', '1,2', '--point', '3,4', '--point', '5,6', '--opening', '1in', 'a.jpg'], /too often/],
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

  it.each([
    [['--reference', 'ruler', '--tick', '1/16in'], { tickPitchMm: 1.5875 }],
    [['--reference', 'ruler', '--tick=1mm'], { tickPitchMm: 1 }],
    [['--reference', 'coin', '--diameter', '24.26mm'], { coinDiameterMm: 24.26 }],
    [['--reference', 'paper', '--size', 'letter'], { paperSize: 'Letter' }],
    [['--reference', 'paper', '--size', 'a5'], { paperSize: 'A5' }],
    [['--reference', 'sheet'], { sheetPrint: null }],
    [
      ['--check-rulers', '139.3mm,14.07cm'],
      { sheetPrint: { across: expect.closeTo(0.995, 9), along: expect.closeTo(1.005, 9) } },
    ],
    [
      ['--reference', 'caliper', '--point', '10,20.5', '--point', '300,25', '--opening', '1in'],
      {
        caliper: {
          points: [
            { x: 10, y: 20.5 },
            { x: 300, y: 25 },
          ],
          openingMm: 25.4,
        },
      },
    ],
  ])('say what is needed of a reference: %j', (words, wishes) => {
    expect(measuring(...words, 'a.jpg')).toMatchObject(wishes);
  });

  it('ask for help whatever else they say', () => {
    expect(commandFrom(['--help'])).toEqual({ kind: 'help' });
  });
});
