import { describe, expect, test } from 'vitest';
import { readerFor } from '../../src/components/reader.ts';
import { en } from '../../src/copy/en.ts';
import type { LoadedTest, ReadTake } from '../../src/library/library.ts';
import { countingTakes } from '../../src/library/load-compression-test.ts';
import { EMPTY_GARAGE } from '../../src/platform/garage.ts';
import { reportContent } from '../../src/screens/report/content.ts';
import { groupedFingerprint, readFingerprint } from '../../src/screens/report/fingerprint-words.ts';
import { garageLines } from '../../src/screens/report/garage-lines.ts';
import { notMeasured } from '../../src/screens/report/not-measured.ts';
import { printSize } from '../../src/screens/report/print-size.ts';
import { reportText } from '../../src/screens/report/text.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import type { SensorAccuracy } from '../../worker/core/sensor-accuracy.ts';
import type { EngineRecord, PlugRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';
import { engineRecord, plugRecord, takeRecord, testRecord } from '../support/store-records.ts';

const reader = readerFor('kPa', 'en');
const items = en.report.notMeasuredItem;

interface Wanted {
  readonly finalsKpa?: Readonly<Record<number, number>>;
  readonly wetKpa?: Readonly<Record<number, number>>;
  readonly engine?: Partial<EngineRecord>;
  readonly test?: Partial<TestRecord>;
  readonly take?: Partial<TakeRecord>;
}

/** A test of an inline four with dial gauge figures, read and judged by the real analysis. */
function loadedTest({
  finalsKpa = {},
  wetKpa = {},
  engine: card,
  test: more,
  take: takeMore,
}: Wanted): LoadedTest {
  const engine = engineRecord('e', {
    name: 'Grey estate',
    facts: { cycle: 4, fuel: 'spark', layout: presetLayout('inline', 4), manual: {}, geometry: {} },
    ...card,
  });
  const testOf = testRecord('t', 'e', { conditions: { ticked: [] }, ...more });
  const takesOf = (kpa: Readonly<Record<number, number>>, condition: 'dry' | 'wet'): ReadTake[] =>
    Object.entries(kpa).map(([cylinder, finalKpa]) => {
      const typed = { strokesKpa: [0.6 * finalKpa, 0.9 * finalKpa, finalKpa, finalKpa] };
      const take = takeRecord(`${condition}${cylinder}`, 't', {
        cylinder: Number(cylinder),
        condition,
        state: 'finished',
        origin: 'typed',
        source: { kind: 'typed', name: 'Dial gauge' },
        typed,
        ...takeMore,
      });
      return { take, reading: readTyped(typed, { cycle: 4, sensorAccuracy: take.source.accuracy }) };
    });
  const takes = [...takesOf(finalsKpa, 'dry'), ...takesOf(wetKpa, 'wet')];
  const counting = countingTakes(takes);
  const readings = takes
    .filter(({ take }) => take.state === 'finished')
    .map(({ take, reading }) => ({ cylinder: take.cylinder, condition: take.condition, reading }));
  const judgement = judgeEngine(readings, engine.facts, testOf.rule, {
    ambientKpa: testOf.conditions.ambientKpa,
  });
  return { engine, test: testOf, takes, counting, judgement };
}

const extras = {
  garage: EMPTY_GARAGE,
  by: '',
  fingerprint: 'ab'.repeat(32),
  madeAt: '3 May 2026, 08:00',
  checkAddress: 'https://strokebook.example/app/check',
};

const ALIKE = { 1: 1250, 2: 1240, 3: 1245, 4: 1255 };
const plain = (text: string) => text.replace(/[\u00a0\u202f]/g, ' ');

describe('the list of what was not measured', () => {
  test('names the cylinders that are missing, and that figures were typed in', () => {
    const said = notMeasured(loadedTest({ finalsKpa: { 1: 1250, 2: 1240 } }), reader);
    expect(said).toContain('Cylinders 3 and 4: not measured.');
    expect(said.some((one) => one.startsWith('Cylinders 1 and 2: typed in'))).toBe(true);
  });

  test('names the unknown conditions, and leaves out the known ones', () => {
    const unknown = notMeasured(loadedTest({ finalsKpa: ALIKE }), reader);
    expect(unknown).toEqual(
      expect.arrayContaining([items.barometer, items.level, items.oil, items.battery, items.wetNone]),
    );
    const conditions = {
      ambientKpa: 99,
      oilTemperatureC: 70,
      batteryAfterV: 12.2,
      ticked: ['engine-warm', 'plugs-out', 'throttle-open', 'battery-strong'],
    };
    const known = notMeasured(
      loadedTest({ finalsKpa: ALIKE, wetKpa: { 1: 1280 }, test: { conditions } }),
      reader,
    );
    for (const one of [items.barometer, items.oil, items.battery, items.wetNone]) {
      expect(known).not.toContain(one);
    }
    expect(known.join()).not.toContain('Not ticked');
    expect(unknown.join()).toContain('engine warm, all plugs out, throttle open, and battery charged');
  });

  test('says that an altitude does not replace a barometer reading', () => {
    const conditions = { altitudeM: 1200, ticked: [] };
    const said = notMeasured(loadedTest({ finalsKpa: ALIKE, test: { conditions } }), reader);
    expect(said).toContain(items.barometerAltitude);
    expect(said).not.toContain(items.barometer);
  });

  test('never asks a diesel for a wet test', () => {
    const { facts } = engineRecord('e');
    const said = notMeasured(
      loadedTest({
        finalsKpa: { 1: 2900, 2: 2890, 3: 1900, 4: 2880 },
        engine: { facts: { ...facts, fuel: 'diesel' } },
        test: { rule: { code: 'diesel-spread' } },
      }),
      reader,
    );
    expect(said).toContain(items.wetDiesel);
    expect(said.join()).not.toMatch(/called for|none made/);
  });

  test('names a diesel that got oil, with a next step', () => {
    const { facts } = engineRecord('e');
    const loaded = loadedTest({
      finalsKpa: { 1: 2900, 2: 2890, 3: 1900, 4: 2880 },
      wetKpa: { 3: 2400 },
      engine: { facts: { ...facts, fuel: 'diesel' } },
    });
    expect(notMeasured(loaded, reader).join('\n')).toContain('Cylinder 3: measured wet although');
  });

  test('names a wet reading without a dry one', () => {
    const said = notMeasured(loadedTest({ finalsKpa: { 1: 1250, 2: 1240 }, wetKpa: { 3: 900 } }), reader);
    expect(said.join('\n')).toContain('Cylinder 3: wet only');
  });

  test('doubts an impossible reading', () => {
    const said = notMeasured(loadedTest({ finalsKpa: { ...ALIKE, 2: 8300 } }), reader);
    expect(said.join('\n')).toContain('Cylinder 2: the unit of the recording or of the sensor is in doubt.');
    expect(notMeasured(loadedTest({ finalsKpa: ALIKE }), reader).join()).not.toContain('can crank to');
  });

  test('asks for the wet test of a low cylinder without one', () => {
    const said = notMeasured(loadedTest({ finalsKpa: { ...ALIKE, 3: 800 } }), reader);
    expect(said).toContain('Cylinder 3: a wet test was called for and not made.');
  });

  test('counts the takes that were set aside', () => {
    const loaded = loadedTest({ finalsKpa: ALIKE });
    const aside = { ...loaded.takes[0]!, take: { ...loaded.takes[0]!.take, state: 'set-aside' as const } };
    const said = notMeasured({ ...loaded, takes: [...loaded.takes, aside] }, reader);
    expect(said).toContain('1 take was set aside and does not count.');
  });
});

describe('the report', () => {
  test('marks simulated readings clearly', () => {
    const simulated = loadedTest({
      finalsKpa: ALIKE,
      test: { origin: 'simulated' },
      take: { origin: 'simulated' },
    });
    expect(reportContent(simulated, [], reader).marks).toEqual([
      { words: en.report.marked.simulated, isUnreal: true },
    ]);
    const example = loadedTest({ finalsKpa: ALIKE, engine: { origin: 'example' } });
    expect(reportContent(example, [], reader).marks).toContainEqual({
      words: en.report.marked.example,
      isUnreal: true,
    });
    const measured = loadedTest({ finalsKpa: ALIKE, take: { origin: 'measured' } });
    expect(reportContent(measured, [], reader).marks).toEqual([]);
  });

  test('names the marked readings when only some are', () => {
    const loaded = loadedTest({ finalsKpa: ALIKE, take: { origin: 'measured' } });
    const [first, ...others] = loaded.takes;
    const takes = [{ ...first!, take: { ...first!.take, origin: 'simulated' as const } }, ...others];
    const marks = reportContent({ ...loaded, takes, counting: countingTakes(takes) }, [], reader).marks;
    expect(marks).toEqual([{ words: `${en.report.marked.simulated} (Cylinder 1)`, isUnreal: true }]);
  });

  test('shows measured and corrected side by side only where the barometer is known', () => {
    const conditions = { ambientKpa: 90, ticked: [] };
    const known = reportContent(loadedTest({ finalsKpa: ALIKE, test: { conditions } }), [], reader);
    expect(known.hasSeaLevel).toBe(true);
    // A vented gauge scales with the barometer: 1250 * 101.325 / 90 kPa.
    expect(known.readings.map((one) => one.cells.seaLevel)[0]).toBe('1,407');
    const unknown = reportContent(loadedTest({ finalsKpa: ALIKE }), [], reader);
    expect(unknown.hasSeaLevel).toBe(false);
    expect(unknown.readings.every((one) => one.cells.seaLevel === '')).toBe(true);
  });

  test('has no column without a figure, and no dash in a row', () => {
    const wetOnly = { ...ALIKE, 4: 0 };
    for (const finalsKpa of [ALIKE, { 1: 1250 }, wetOnly]) {
      const { columns, readings } = reportContent(loadedTest({ finalsKpa }), [], reader);
      expect(columns).not.toContain('rpm');
      for (const column of columns) expect(readings.some(({ cells }) => cells[column] !== '')).toBe(true);
      for (const { cells } of readings) expect(Object.values(cells)).not.toContain('–');
    }
    const typed = { strokesKpa: [], finalKpa: 1200 };
    const finals = loadedTest({ finalsKpa: ALIKE, take: { typed } });
    const takes = finals.takes.map((one) => ({ ...one, reading: readTyped(typed, { cycle: 4 }) }));
    const content = reportContent({ ...finals, takes, counting: countingTakes(takes) }, [], reader);
    expect(content.columns).toEqual(['final']);
    expect(content.noStrokes).toBe('');
  });

  test('leaves out a bore or stroke that is not known', () => {
    const { facts } = engineRecord('e');
    const engineOf = (geometry: object) =>
      reportContent(
        loadedTest({ finalsKpa: ALIKE, engine: { facts: { ...facts, manual: {}, geometry } } }),
        [],
        reader,
      ).engine;
    expect(engineOf({ boreMm: 84 })).toEqual([{ name: en.report.fact.bore, value: '84.0\u00a0mm' }]);
    expect(engineOf({ boreMm: 84, strokeMm: 90 })[0]?.value).toBe('84.0 × 90.0\u00a0mm');
    expect(engineOf({})).toEqual([]);
  });

  test('names the rule in force with its source', () => {
    const { rule } = reportContent(loadedTest({ finalsKpa: ALIKE }), [], reader);
    expect(rule).toEqual({ ...en.rule['percent-of-highest'], manualToo: false });
  });
});

describe('the conditions', () => {
  const conditions = { throttleOpen: true, allPlugsOut: true, ticked: [] };

  test('state an open throttle and removed plugs where recorded', () => {
    const { conditions: facts } = reportContent(
      loadedTest({ finalsKpa: ALIKE, test: { conditions } }),
      [],
      reader,
    );
    expect(facts).toContainEqual({
      name: en.report.fact.prepared,
      value: 'throttle blocked open, all plugs out',
    });
    const unknown = reportContent(loadedTest({ finalsKpa: ALIKE }), [], reader).conditions;
    expect(unknown.map(({ name }) => name)).not.toContain(en.report.fact.prepared);
  });

  test('are never reported as missing when recorded', () => {
    const said = notMeasured(loadedTest({ finalsKpa: ALIKE, test: { conditions } }), reader).join();
    expect(said).toContain('Not ticked in the preparation: engine warm and battery charged.');
  });
});

describe('the two parts of the plus-minus', () => {
  const textWith = (accuracy?: SensorAccuracy) => {
    const source = { kind: 'typed', name: 'Dial gauge', accuracy } as const;
    const content = reportContent(
      loadedTest({ finalsKpa: { 1: 1000, 2: 1010 }, take: { source } }),
      [],
      reader,
    );
    const extras = { garage: EMPTY_GARAGE, by: '', fingerprint: null, madeAt: '', checkAddress: '' };
    return { content, text: reportText(content, extras, reader) };
  };

  test('are apart where the class is known', () => {
    const { content, text } = textWith({ classPercent: 2, rangeKpa: 2000 });
    // 3 % of 1000 kPa by eye, 2 % of 2000 kPa by the class.
    expect(text).toContain('1: 1,000 ± 30 between cylinders, ± 50 absolute');
    expect(text).toContain('Gauge accuracy: 2 % of 2,000 kPa');
    expect(content.columns).toContain('absolute');
  });

  test('are named as not known where it is not', () => {
    const { content, text } = textWith();
    expect(text).toContain('Absolute: class of the dial gauge not known.');
    expect(text).toContain('Gauge accuracy: class not known');
    expect(content.columns).not.toContain('absolute');
  });
});

describe('the plugs', () => {
  const look = (id: string, cylinder: number, seenAt: string, more: Partial<PlugRecord> = {}) =>
    plugRecord(id, 'e', { cylinder, seenAt, ...more });
  const plugsOf = (plugs: readonly PlugRecord[], more: Wanted = {}) =>
    reportContent(loadedTest({ finalsKpa: ALIKE, ...more }), plugs, reader).plugs;
  const plugInterval = { km: 30_000 };

  test('are on the report as inspected near the test, equal ones in one line', () => {
    const plugs = plugsOf([
      look('a', 1, '2026-05-01T10:00:00.000Z', { gapMm: 0.9 }),
      look('b', 2, '2026-05-01T10:00:00.000Z', { gapMm: 0.9 }),
      look('c', 3, '2026-05-01T10:00:00.000Z', { signs: ['oily', 'gap-wide'] }),
      look('d', 3, '2026-05-03T10:00:00.000Z', { signs: [], replaced: true, gapMm: 0.8 }),
    ]);
    expect(plugs).toEqual([
      { name: 'Cylinders 1 and 2', value: 'Normal, gap 0.90\u00a0mm (May 1, 2026).' },
      {
        name: 'Cylinder 3',
        value:
          'Oily and gap wide (May 1, 2026). New one in, gap 0.80\u00a0mm (May 3, 2026). Changed May 3, 2026.',
      },
    ]);
  });

  test('report a common change once', () => {
    const plugs = [1, 2].flatMap((cylinder) => [
      look(`a${cylinder}`, cylinder, '2025-01-01T10:00:00.000Z', { replaced: true, odometerKm: 60_000 }),
      look(`b${cylinder}`, cylinder, '2026-05-02T10:00:00.000Z', {
        signs: [cylinder === 1 ? 'ash' : 'oily'],
      }),
    ]);
    expect(plugsOf(plugs)).toEqual([
      { name: 'Cylinder 1', value: 'Ash (May 2, 2026).' },
      { name: 'Cylinder 2', value: 'Oily (May 2, 2026).' },
      { name: en.report.plugsAll, value: 'Changed Jan 1, 2025 at 60,000\u00a0km.' },
    ]);
  });

  test('state when new ones are due, and that they were overdue', () => {
    const changed = look('a', 1, '2025-01-01T10:00:00.000Z', { replaced: true, odometerKm: 60_000 });
    const seen = look('b', 1, '2026-05-02T10:00:00.000Z', { odometerKm: 88_000 });
    const due = (odometerKm?: number) =>
      plugsOf([changed, seen], {
        engine: { plugInterval },
        test: { conditions: { odometerKm, ticked: [] } },
      });
    expect(due(88_000)[0]?.value).toBe(
      'Normal (May 2, 2026). Changed Jan 1, 2025 at 60,000\u00a0km. Next due at 90,000\u00a0km.',
    );
    expect(due(91_000)[0]?.value).toContain('New ones were due at 90,000\u00a0km.');
    expect(due()[0]?.value).toContain('Next due at 90,000\u00a0km.');
  });

  test('are left out without an inspection near the test, and on a diesel', () => {
    expect(plugsOf([])).toEqual([]);
    expect(plugsOf([look('a', 1, '2025-05-02T10:00:00.000Z')])).toEqual([]);
    const { facts } = engineRecord('e');
    const diesel = { engine: { facts: { ...facts, fuel: 'diesel' as const } } };
    expect(plugsOf([look('a', 1, '2026-05-02T10:00:00.000Z')], diesel)).toEqual([]);
  });

  test('a later inspection is not used', () => {
    const later = look('b', 1, '2027-05-02T10:00:00.000Z', { replaced: true });
    const plugs = plugsOf([look('a', 1, '2026-05-02T10:00:00.000Z'), later]);
    expect(plugs[0]?.value).toBe('Normal (May 2, 2026).');
  });

  test('are in the text too', () => {
    const content = reportContent(
      loadedTest({ finalsKpa: ALIKE }),
      [look('a', 2, '2026-05-02T10:00:00.000Z', { signs: ['dry-soot'] })],
      reader,
    );
    const text = reportText(content, { ...extras, fingerprint: null }, reader);
    expect(text).toContain('Plugs:\nCylinder 2: Dry soot (May 2, 2026).');
  });
});

describe('as text', () => {
  const content = reportContent(loadedTest({ finalsKpa: { ...ALIKE, 3: 800 } }), [], reader);
  const text = reportText(content, extras, reader);

  test('holds every reading with its plus-minus, the suspects and the fingerprint', () => {
    for (const cylinder of [1, 2, 3, 4])
      expect(text).toMatch(new RegExp(`^${cylinder}: [\\d,]+ ± [\\d.]+`, 'm'));
    expect(content.suspects.length).toBeGreaterThan(0);
    for (const suspect of content.suspects) expect(text).toContain(plain(suspect.title));
    expect(text).toContain(`${reader.t.results.alike}: ${reader.t.readsAlike['valve-leak']}`);
    for (const line of content.notMeasured) expect(text).toContain(plain(line));
    expect(text).toContain('abab abab');
  });

  test('begins with the workshop, then customer and sentences, and goes on with the evidence', () => {
    const loaded = loadedTest({
      finalsKpa: { ...ALIKE, 3: 800 },
      engine: { identity: { make: 'Own', registration: 'AB12 CDE', customer: 'Zoë Müller' } },
      test: { jobNumber: '2026/117' },
    });
    const garage = {
      name: 'Lower Mill Motors',
      address: '3 Lower Mill\n\nHilltown ',
      telephone: '1',
      logo: '',
    };
    const content = reportContent(loaded, [], reader);
    const lines = reportText(content, { ...extras, garage }, reader).split('\n');
    expect(lines.slice(0, 5)).toEqual(['Lower Mill Motors', '3 Lower Mill', 'Hilltown', '1', '']);
    const order = [
      'Customer: Zoë Müller',
      'Job number: 2026/117',
      'Make and model: Own',
      'Registration: AB12 CDE',
      plain(content.sentences.found),
      plain(content.sentences.sure),
      plain(content.sentences.next),
      en.customer.forWorkshop.toUpperCase(),
      `${en.report.readings}:`,
    ].map((words) => lines.indexOf(words));
    expect(order).not.toContain(-1);
    expect(order).toEqual(order.toSorted((a, b) => a - b));
    expect(lines.join(' ')).toContain(`${extras.checkAddress} or open Settings > Check a report.`);
  });

  test('has a name only if one was typed, and no special spaces', () => {
    expect(text).not.toContain(en.report.by);
    expect(reportText(content, { ...extras, by: 'A. Mechanic' }, reader)).toContain(
      'Measured by: A. Mechanic',
    );
    expect(text).not.toMatch(/[\u00a0\u202f]/);
    expect(text).not.toContain('undefined');
  });

  test('says when there is no fingerprint', () => {
    expect(reportText(content, { ...extras, fingerprint: null }, reader)).toContain(
      en.report.fingerprintNone,
    );
  });
});

test('a long address keeps the head low, and loses nothing', () => {
  const address = '1\n2\n\n3\n4\n5\n6';
  expect(garageLines({ ...EMPTY_GARAGE, name: 'Own', address })).toEqual(['Own', '1', '2', '3', '4', '5, 6']);
  expect(garageLines(EMPTY_GARAGE)).toEqual([]);
});

describe('a typed fingerprint', () => {
  const digits = '0123456789abcdef'.repeat(4);

  test('is read in any grouping', () => {
    for (const text of [
      digits,
      groupedFingerprint(digits),
      digits.toUpperCase(),
      ` ${digits.slice(0, 32)}-\n${digits.slice(32)} `,
    ]) {
      expect(readFingerprint(text)).toEqual({ state: 'good', digits });
    }
  });

  test.each([
    ['', { state: 'none' }],
    [' - ', { state: 'none' }],
    ['0123 o', { state: 'wrong-letter', letter: 'o' }],
    [digits.slice(0, 15), { state: 'too-short', length: 15 }],
    [digits.slice(0, 16), { state: 'good', digits: digits.slice(0, 16) }],
    [`${digits}0`, { state: 'too-long', length: 65 }],
  ])('%j', (text, read) => {
    expect(readFingerprint(text)).toEqual(read);
  });
});

test('a longer report is printed smaller, however few its sentences', () => {
  const content = reportContent(loadedTest({ finalsKpa: ALIKE }), [], reader);
  const remark = { severity: 'warning', whose: 'Cylinder 1', words: 'Long. '.repeat(150) } as const;
  expect(printSize(content)).toBe('ordinary');
  expect(printSize({ ...content, remarks: [remark] })).toBe('dense');
  expect(printSize({ ...content, remarks: [remark, remark] })).toBe('densest');
});
