import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { noticeWords } from '../../src/components/notice-words.ts';
import { readerFor } from '../../src/components/reader.ts';
import { en } from '../../src/copy/en.ts';
import { fill, namesIn } from '../../src/copy/fill.ts';
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
import * as notices from '../../worker/core/measure/notices.ts';

const taste = { unit: 'psi', locale: 'en', language: 'en' } as const;
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
    expect(plain(fill(sentence, values, taste))).toBe(written);
  });

  test('English words keep English plurals and lists beside German figures', () => {
    const german = readerFor('bar', 'de-DE');
    expect(german.cylinders([2, 3])).toBe('Cylinders 2 and 3');
    expect(plain(german.pressure(1250))).toBe('12,50 bar');
  });

  test('a name that runs from right to left keeps to itself', () => {
    expect(fill('{name}: {kpa:pressure}', { name: '\u202eevil', kpa: 689.4757 }, taste)).toMatch(
      /^\u2068\u202eevil\u2069: 100/,
    );
  });

  test('a value that looks like a gap is not filled again', () => {
    expect(fill('{a} {b}', { a: '{b}', b: '[x]' }, taste)).toBe('{b} [x]');
  });
});

/** Every string of the language file, with where it stands. */
function sentences(words: unknown, path = ''): [string, string][] {
  if (typeof words === 'string') return [[path, words]];
  return Object.entries(words as Record<string, unknown>).flatMap(([key, value]) =>
    sentences(value, path === '' ? key : `${path}.${key}`),
  );
}

describe('the words', () => {
  test('none is empty but those that need none', () => {
    const empty = sentences(en).filter(([, text]) => text.trim() === '');
    expect(empty.map(([path]) => path)).toEqual(['source.cancelled', 'analyst.working']);
  });

  test('nobody is told of an error or of something invalid', () => {
    const blaming = sentences(en).filter(([, text]) => /\b(error|invalid|fail(ed|ure)|abort)/i.test(text));
    expect(
      blaming.filter(([, text]) => !/has failed, but|link .* failed|Keeping it failed/.test(text)),
    ).toEqual([]);
  });

  test('every gap is well formed', () => {
    const how = /^(pressure|small|percent|[0-3]|plural [^|]+\|[^|]+)$/;
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

const CORE = new URL('../../worker/core/', import.meta.url);
const coreSource = readdirSync(CORE, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => readFileSync(new URL(name, CORE), 'utf8'))
  .join('\n');

describe('every code of the analysis has words', () => {
  test('evidence', () => {
    // Every object literal of core with a `code` and a `detail` is an Evidence; the codes of notices are typed apart.
    const written = [...coreSource.matchAll(/\bcode: (?:\w+(?: < \d+)? \? )?'([a-z-]+)'(?: : '([a-z-]+)')?/g)]
      .flatMap((match) => [match[1], match[2]])
      .filter((code) => code !== undefined);
    const rules = Object.keys(en.rule).map((code) => `beyond-${code}`);
    const ruleCodes = Object.keys(en.rule);
    const codes = new Set([...written, ...rules].filter((code) => !ruleCodes.includes(code)));
    expect(codes.size).toBeGreaterThan(20);
    expect([...codes].filter((code) => en.evidence[code] === undefined)).toEqual([]);
  });

  test('each made notice fills every gap of its sentence that is not optional', () => {
    const made = [
      notices.NO_STROKES,
      notices.tooFewStrokes(2, 5),
      notices.sampleRateLow(33, 0.02),
      notices.samplesMissing(0.02, 1, 'warning'),
      notices.sensorClipped(1000),
      notices.crankingSlow(80, 100),
      notices.crankingSagged(0.12),
      notices.rigLeaks(0.04),
      notices.zeroShifted(3, ''),
      notices.engineFired(4, 3000),
      notices.spikesRemoved(3),
      notices.rigUndetermined(0.5),
    ];
    for (const notice of made) {
      const known = namesIn(en.notice[notice.code]).filter((name) => name in notice.values);
      const asked = namesIn(en.notice[notice.code]);
      expect(known, notice.code).toEqual(asked);
      expect(noticeWords(readerFor('psi', 'en'), notice), notice.code).not.toContain('–');
    }
  });

  test('a notice is said in the reader’s unit', () => {
    const said = (unit: 'psi' | 'bar') =>
      plain(noticeWords(readerFor(unit, 'en'), notices.sensorClipped(1000)));
    expect(said('psi')).toContain('145 psi');
    expect(said('bar')).toContain('10.00 bar');
  });
});

describe('cautions', () => {
  test('a diesel is never told to use oil, a petrol engine not of glow plugs', () => {
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
            for (const code of cautionsFor({ fuel }, [system, voltage, belts])) seen.add(code);
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

  test('the next test of the engine keeps the answers and no tick', () => {
    expect(answersIn(['no-gear', 'no-high-voltage', 'fuel-off-injected', 'injected'])).toEqual([
      'injected',
      'no-high-voltage',
    ]);
  });

  test('what can hurt is asked for until it is ticked, and again when an answer brings more', () => {
    const musts = untickedMusts({ fuel: 'spark' }, []);
    expect(musts).toContain('fuel-off');
    expect(musts).not.toContain('engine-warm');
    expect(untickedMusts({ fuel: 'spark' }, musts)).toEqual([]);
    expect(untickedMusts({ fuel: 'spark' }, [...musts, 'no-high-voltage'])).toEqual([]);
    expect(untickedMusts({ fuel: 'spark' }, [...musts, 'injected'])).toEqual(['fuel-off-injected']);
  });
});
