import { describe, expect, test } from 'vitest';
import { HELP, parseOptions } from '../../worker/cli/options.ts';
import { PUBLISHED_RULES } from '../../worker/core/judge/rules.ts';
import { DISPLAY_UNITS, toKpa } from '../../worker/core/units.ts';

const parse = (line: string) => parseOptions(line.split(' ').filter((word) => word !== ''));

test.each([
  ['a.csv', { json: false, unit: 'psi', files: ['a.csv'] }],
  ['--json a.csv b.csv', { json: true, files: ['a.csv', 'b.csv'] }],
  ['a.csv --json --unit bar b.csv', { json: true, unit: 'bar', files: ['a.csv', 'b.csv'] }],
  ['--unit=KPA a.csv', { unit: 'kPa' }],
  ['--unit kgfcm2 a.csv', { unit: 'kgf/cm2' }],
  ['--rule below-mean a.csv', { rule: 'below-mean' }],
  ['--rule=max-spread --spread 7psi a.csv', { rule: 'max-spread', maxSpreadKpa: toKpa(7, 'psi') }],
  ['--unit bar --spread 0,5 a.csv', { maxSpreadKpa: 50 }],
  ['--engine card.json a.csv', { engineFile: 'card.json', files: ['a.csv'] }],
  ['--class 0,5 --range 25bar a.csv', { classPercent: 0.5, rangeKpa: 2500 }],
  ['-- --json', { json: false, files: ['--json'] }],
])('%s', (line, options) => {
  expect(parse(line)).toMatchObject({ kind: 'run', options });
});

test.each([
  ['', 'no file given'],
  ['--json', 'no file given'],
  ['--rule', '--rule needs a value'],
  ['--rule --json a.csv', '--rule needs a value'],
  ['--unit= a.csv', '--unit needs a value'],
  ['--rule strict a.csv', '--rule strict is not known'],
  ['--unit torr a.csv', '--unit torr is not known'],
  ['--spread lots a.csv', '--spread lots is not a pressure'],
  ['--spread 0psi a.csv', '--spread 0psi is not a pressure'],
  ['--class high a.csv', '--class high is not a share of the range'],
  ['--class 0 a.csv', '--class 0 is not a share of the range'],
  ['--class 1 --range none a.csv', '--range none is not a pressure'],
  ['--range 25bar a.csv', '--range only counts with --class'],
  ['--verbose a.csv', '--verbose is not an option'],
  ['-x a.csv', '-x is not an option'],
])('%s: %s', (line, message) => {
  const outcome = parse(line);
  expect(outcome.kind === 'wrong' && outcome.message).toContain(message);
  expect(outcome.kind === 'wrong' && outcome.message).not.toContain('\n');
});

describe('the help', () => {
  test('is shown on request, whatever the other arguments', () => {
    expect(parse('--json --help')).toEqual({ kind: 'help' });
    expect(parse('-h')).toEqual({ kind: 'help' });
  });

  test('names every rule and unit', () => {
    for (const { code } of PUBLISHED_RULES) expect(HELP).toContain(code);
    for (const unit of DISPLAY_UNITS) expect(HELP).toContain(unit);
  });
});
