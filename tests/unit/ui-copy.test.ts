import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { en } from '../../src/copy/en.ts';
import { languageFor, wordsFor } from '../../src/copy/languages.ts';
import {
  answersIn,
  answerTo,
  CAUTIONS,
  cautionsFor,
  questionsFor,
  untickedMusts,
  withAnswer,
} from '../../src/safety/cautions.ts';
import { notice } from '../../worker/core/notice.ts';
import { fill, namesIn } from '../../worker/words/fill.ts';
import { noticeWords } from '../../worker/words/sentences.ts';

const preferences = { unit: 'psi', locale: 'en', language: 'en' } as const;
const plain = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ');

describe('filling in a sentence', () => {
  test.each([
    ['{kpa:pressure}', { kpa: 689.4757 }, '100 psi'],
    ['{share:percent}', { share: 0.04 }, '4 %'],
    ['{n:plural stroke|strokes}', { n: 1 }, 'stroke'],
    ['{n:plural stroke|strokes}', { n: 6 }, 'strokes'],
    ['Lost[, {share:percent} of it].', {}, 'Lost.'],
    ['Lost[, {share:percent} of it].', { share: 0.5 }, 'Lost, 50 % of it.'],
    ['{name}: {rpm:0}', { name: 'A', rpm: 248.4 }, 'A: 248'],
    ['{gone:0} rpm', {}, '– rpm'],
  ])('%s', (sentence, values, written) => {
    expect(plain(fill(sentence, values, preferences))).toBe(written);
  });

  test('English words keep English plurals and lists beside German figures', () => {
    const german = readerFor('bar', 'de-DE');
    expect(german.cylinders([2, 3])).toBe('Cylinders 2 and 3');
    expect(plain(german.pressure(1250))).toBe('12,50 bar');
  });

  test('a right-to-left name is isolated', () => {
    expect(fill('{name}: {kpa:pressure}', { name: '\u202eevil', kpa: 689.4757 }, preferences)).toMatch(
      /^\u2068\u202eevil\u2069: 100/,
    );
  });

  test('a value that looks like a gap is not filled again', () => {
    expect(fill('{a} {b}', { a: '{b}', b: '[x]' }, preferences)).toBe('{b} [x]');
  });
});

/** Every string of the language file, with its path. */
function sentences(words: unknown, path = ''): [string, string][] {
  if (typeof words === 'string') return [[path, words]];
  return Object.entries(words as Record<string, unknown>).flatMap(([key, value]) =>
    sentences(value, path === '' ? key : `${path}.${key}`),
  );
}

describe('the words', () => {
  test('are not empty, with two exceptions', () => {
    const empty = sentences(en).filter(([, text]) => text.trim() === '');
    expect(empty.map(([path]) => path).sort()).toEqual(['analyst.working', 'source.cancelled']);
  });

  test('never speak of errors or of something invalid', () => {
    const blaming = sentences(en).filter(([, text]) => /\b(error|invalid|fail(ed|ure)|abort)/i.test(text));
    expect(blaming.filter(([, text]) => !/has failed, but/.test(text))).toEqual([]);
  });

  test('every gap is well formed', () => {
    const how =
      /^(pressure|small|barometer|altitude|temperature|distance|length|gap|percent|[0-3]|plural [^|]+\|[^|]+)$/;
    for (const [path, text] of sentences(en)) {
      for (const [, , given] of text.matchAll(/\{(\w+)(?::([^}]+))?\}/g)) {
        expect(given === undefined || how.test(given), `${path}: ${given}`).toBe(true);
      }
      expect(text.replace(/\{[^{}]*\}/g, '').match(/[{}]/), path).toBeNull();
    }
  });

  test('an unknown language falls back to English', () => {
    expect(wordsFor('xx-YY')).toBe(en);
    expect(wordsFor('en-GB')).toBe(en);
    expect(languageFor('de-DE')).toBe('en');
  });
});

describe('every code of the analysis has words', () => {
  test('each made notice fills every gap of its sentence that is not optional', () => {
    const made = [
      notice('no-strokes', 'stop', {}),
      notice('too-few-strokes', 'stop', { strokes: 2, wanted: 5 }),
      notice('sample-rate-low', 'warning', { rateHz: 33, plusMinusShare: 0.02 }),
      notice('samples-missing', 'warning', { share: 0.02, lostStrokes: 1 }),
      notice('sensor-clipped', 'stop', { topKpa: 1000 }),
      notice('cranking-slow', 'warning', { rpm: 80, leastRpm: 100 }),
      notice('cranking-below-usual', 'warning', { rpm: 150, usualRpm: 165 }),
      notice('cranking-sagged', 'warning', { sag: 0.12 }),
      notice('rig-leaks', 'warning', { lossPerS: 0.04 }),
      notice('zero-shifted', 'warning', { shiftKpa: 3 }),
      notice('engine-fired', 'stop', { stroke: 4, peakKpa: 3000 }),
      notice('spikes-removed', 'note', { count: 3 }),
      notice('rig-undetermined', 'warning', { share: 0.5 }),
    ];
    for (const one of made) {
      const known = namesIn(en.notice[one.code]).filter((name) => name in one.values);
      const asked = namesIn(en.notice[one.code]);
      expect(known, one.code).toEqual(asked);
      expect(noticeWords(readerFor('psi', 'en'), one), one.code).not.toContain('–');
    }
  });

  test('a notice is in the reader’s unit', () => {
    const said = (unit: 'psi' | 'bar') =>
      plain(noticeWords(readerFor(unit, 'en'), notice('sensor-clipped', 'stop', { topKpa: 1000 })));
    expect(said('psi')).toContain('145 psi');
    expect(said('bar')).toContain('10.00 bar');
  });
});

describe('cautions', () => {
  test('oil is never advised for a diesel, nor glow plugs mentioned for a petrol engine', () => {
    const spark = cautionsFor({ fuel: 'spark' });
    const diesel = cautionsFor({ fuel: 'diesel' });
    expect(diesel).toContain('no-oil');
    expect(diesel).not.toContain('ignition-off');
    expect(spark).not.toContain('no-oil');
    expect(spark).toContain('ignition-off');
  });

  test('each comes up for some engine', () => {
    const seen = new Set<string>();
    for (const fuel of ['spark', 'diesel'] as const) {
      for (const system of ['', 'injected', 'carburettor']) {
        for (const voltage of ['', 'has-high-voltage', 'no-high-voltage']) {
          for (const belts of ['', 'belts', 'no-belts']) {
            for (const kind of ['inline', 'rotors'] as const) {
              for (const decompressor of ['none', 'automatic', 'by-hand'] as const) {
                const facts = { fuel, layout: { kind, rows: [[1]] }, decompressor };
                for (const code of cautionsFor(facts, [system, voltage, belts])) seen.add(code);
              }
            }
          }
        }
      }
    }
    expect(seen).toEqual(new Set(Object.keys(CAUTIONS)));
  });

  test('the list follows the answers, and covers either case without them', () => {
    const list = (...answers: string[]) => cautionsFor({ fuel: 'spark' }, answers);
    expect(list()).toEqual(
      expect.arrayContaining(['fuel-off', 'injectors-off', 'high-voltage', 'belts-clear']),
    );
    expect(list('carburettor')).toContain('choke-open');
    expect(list('carburettor')).not.toContain('injectors-off');
    expect(list('injected')).toContain('fuel-off-injected');
    expect(list('no-high-voltage').filter((code) => code.startsWith('high-voltage'))).toEqual([]);
    expect(list('has-high-voltage')).toEqual(
      expect.arrayContaining(['high-voltage-safe', 'high-voltage-cranking']),
    );
    expect(list('no-belts')).toContain('parts-clear');
    expect(questionsFor({ fuel: 'diesel' }).map(({ code }) => code)).not.toContain('fuelSystem');
  });

  test('a question has one answer at a time, and the ticks stay', () => {
    const [fuelSystem] = questionsFor({ fuel: 'spark' });
    const first = withAnswer(fuelSystem!, 'injected', ['no-gear']);
    const second = withAnswer(fuelSystem!, 'carburettor', first);
    expect(answerTo(fuelSystem!, [])).toBeNull();
    expect(answerTo(fuelSystem!, second)).toBe('carburettor');
    expect(second).toEqual(['no-gear', 'carburettor']);
  });

  test('the next test of the engine keeps the answers but no tick', () => {
    expect(answersIn(['no-gear', 'no-high-voltage', 'fuel-off-injected', 'injected'])).toEqual([
      'injected',
      'no-high-voltage',
    ]);
  });

  test('dangers are listed until ticked, and again when an answer adds more', () => {
    const musts = untickedMusts({ fuel: 'spark' }, []);
    expect(musts).toContain('fuel-off');
    expect(musts).not.toContain('engine-warm');
    expect(untickedMusts({ fuel: 'spark' }, musts)).toEqual([]);
    expect(untickedMusts({ fuel: 'spark' }, [...musts, 'no-high-voltage'])).toEqual([]);
    expect(untickedMusts({ fuel: 'spark' }, [...musts, 'injected'])).toEqual(['fuel-off-injected']);
  });
});
