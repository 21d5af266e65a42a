/** The argument parser of both commands. */
import { describe, expect, test } from 'vitest';
import { SYNTAX } from '../../simulator/cli/options.ts';
import { readArguments } from '../../worker/cli/arguments.ts';

const read = (line: string) => readArguments(line === '' ? [] : line.split(' '), SYNTAX);

describe('options of the simulator', () => {
  test.each([
    ['', {}],
    ['--wet --rate 50', { wet: true, rate: '50' }],
    ['--rate 50 --rate=80', { rate: '80' }],
    ['--fault worn-rings:2 --fault=valve-leak', { fault: ['worn-rings:2', 'valve-leak'] }],
    ['--offset -3 --start-deg -.5', { offset: '-3', 'start-deg': '-.5' }],
    ['--layout=a=b', { layout: 'a=b' }],
  ])('%s', (line, given) => {
    expect(read(line)).toEqual({ kind: 'given', given, files: [] });
  });

  test.each([
    ['--frob 3', '--frob is not an option; --help lists them'],
    ['--__proto__ 3', '--__proto__ is not an option; --help lists them'],
    ['-x', '-x is not an option; --help lists them'],
    ['--rate', '--rate needs a value'],
    ['--rate=', '--rate needs a value'],
    ['--rate --wet', '--rate needs a value'],
    ['--fault', '--fault needs a value'],
    ['--wet=1', '--wet takes no value'],
    ['wet', '"wet" is not an option; they begin with --, and --help lists them'],
    ['-- --wet', '"--wet" is not an option; they begin with --, and --help lists them'],
  ])('%s: %s', (line, message) => {
    expect(read(line)).toEqual({ kind: 'wrong', message });
  });

  test('help is accepted anywhere before the first problem', () => {
    for (const line of ['--help', '-h', '--wet --help --frob', '--rate 50 -h']) {
      expect(read(line)).toEqual({ kind: 'help' });
    }
    expect(read('--frob --help')).toMatchObject({ kind: 'wrong' });
  });
});

test('files are accepted anywhere, in order, and every word after -- is a file', () => {
  const syntax = { flags: ['json'], values: ['unit'], takesFiles: true };
  expect(readArguments(['a.csv', '--json', '-', '--unit', 'bar', 'b.csv', '--', '--c.csv'], syntax)).toEqual({
    kind: 'given',
    given: { json: true, unit: 'bar' },
    files: ['a.csv', '-', 'b.csv', '--c.csv'],
  });
});
