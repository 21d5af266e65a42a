import { describe, expect, it } from 'vitest';
import { makeEngine } from '../../simulator/engine.ts';
import { CHECK_VALVE_RIG } from '../../simulator/rig.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { factsOf, formOf, problemsOf } from '../../src/screens/engine/engine-form.ts';
import { mergedCard } from '../../src/screens/engine/merge-form.ts';
import type { EngineFacts } from '../../worker/core/engine.ts';
import { judgeEngine } from '../../worker/core/judge/judge-engine.ts';
import { readTrace } from '../../worker/core/measure/read-trace.ts';
import { readTyped } from '../../worker/core/measure/read-typed.ts';
import { volumeRatio } from '../../worker/core/physics/expected.ts';
import { expectableGeometry } from '../../worker/core/physics/stated-ratio.ts';
import { parseEngineCard } from '../../worker/file/card/engine-card.ts';
import { engineFromHeaders } from '../../worker/file/card/engine-facts.ts';
import { sessionSchema } from '../../worker/file/session/schema.ts';
import { engineRecord } from '../support/store-records.ts';

const single = (facts: Partial<EngineFacts>): EngineFacts => ({
  cycle: 4,
  fuel: 'spark',
  layout: { kind: 'inline', rows: [[1]] },
  manual: {},
  geometry: { compressionRatio: 9 },
  ...facts,
});
const judgeTyped = (engine: EngineFacts, finalKpa: number) =>
  judgeEngine(
    [
      {
        cylinder: 1,
        condition: 'dry',
        reading: readTyped({ strokesKpa: [], finalKpa }, { cycle: engine.cycle }),
      },
    ],
    engine,
    { code: 'percent-of-highest' },
    { ambientKpa: 101.3 },
  );

describe('an engine with a compression release', () => {
  it.each(['automatic', 'by-hand'] as const)(
    '%s: nothing is expected from its ratio, and that is said',
    (decompressor) => {
      const before = judgeTyped(single({ decompressor: 'none' }), 520);
      expect(before.expected).not.toBeNull();
      expect(before.reasons.map(({ code }) => code)).toContain('far-below-expected');

      const { expected, reasons, suspects, verdict } = judgeTyped(single({ decompressor }), 520);
      expect(expected).toBeNull();
      // Not the advice to give the compression ratio.
      expect(reasons.map(({ code }) => code)).toEqual(['compression-release']);
      expect(suspects).toEqual([]);
      expect(verdict).toBe('cannot-tell');
    },
  );

  it('is held to its manual', () => {
    const engine = single({ decompressor: 'automatic', manual: { minKpa: 600 } });
    expect(judgeTyped(engine, 400).verdict).toBe('fault');
    expect(judgeTyped(engine, 700).verdict).toBe('sound');
  });
});

describe('the ratio of a two-stroke', () => {
  const twoStroke = (geometry: EngineFacts['geometry']) => single({ cycle: 2, geometry });
  const WHOLE = 12;
  const CLOSES = 82;
  /** The same engine counted from port closing. */
  const fromPort = volumeRatio(180 - CLOSES, WHOLE, 1.65);

  it('counted from port closing or over the whole stroke gives the same expected pressure', () => {
    const whole = twoStroke({
      compressionRatio: WHOLE,
      intakeClosesDegAbdc: CLOSES,
      ratioFrom: 'whole-stroke',
    });
    const port = twoStroke({
      compressionRatio: fromPort,
      intakeClosesDegAbdc: CLOSES,
      ratioFrom: 'port-closing',
    });
    expect(expectableGeometry(port).compressionRatio).toBeCloseTo(WHOLE, 9);
    const [a, b] = [whole, port].map((engine) => judgeTyped(engine, 900).expected!);
    expect(b!.expectedKpa).toBeCloseTo(a!.expectedKpa, 6);
    const far = judgeTyped(port, 300).reasons.find(({ code }) => code === 'far-below-expected');
    expect(far?.values).toMatchObject({ ratio: fromPort });
  });

  it('covers what the simulated two-stroke reads, with the angle known or not', () => {
    const engine = makeEngine({ layout: { kind: 'inline', rows: [[1]] }, cycle: 2 });
    const { trace } = simulateTrace({ engine, cylinder: 1, strokes: 9, rig: CHECK_VALVE_RIG });
    const reading = readTrace(trace, { cycle: 2 });
    for (const intakeClosesDegAbdc of [CLOSES, undefined]) {
      const facts = twoStroke({ compressionRatio: WHOLE, intakeClosesDegAbdc, ratioFrom: 'whole-stroke' });
      const judged = judgeEngine([{ cylinder: 1, condition: 'dry', reading }], facts, { code: 'below-mean' });
      expect(judged.expected!.lowKpa).toBeLessThan(reading.finalKpa!);
      expect(judged.expected!.highKpa).toBeGreaterThan(reading.finalKpa!);
    }
  });

  it('says what it assumed, and has a wider range without the angle', () => {
    const known = judgeTyped(
      twoStroke({ compressionRatio: WHOLE, intakeClosesDegAbdc: 87, ratioFrom: 'whole-stroke' }),
      900,
    );
    const unknown = judgeTyped(twoStroke({ compressionRatio: WHOLE }), 900);
    expect(known.twoStroke).toMatchObject({ isFromStated: true, isPortStated: true });
    expect(unknown.twoStroke).toMatchObject({
      from: 'whole-stroke',
      isFromStated: false,
      isPortStated: false,
    });
    expect(judgeTyped(twoStroke({ compressionRatio: 7 }), 900).twoStroke).toMatchObject({
      from: 'port-closing',
    });
    const width = ({ expected }: typeof known) => expected!.highKpa / expected!.lowKpa;
    expect(width(unknown)).toBeGreaterThan(1.05 * width(known));
    expect(judgeTyped(single({}), 900).twoStroke).toBeUndefined();
  });
});

describe('the fields of rotors, releases and port ratios', () => {
  const facts: EngineFacts = {
    cycle: 2,
    fuel: 'spark',
    layout: { kind: 'rotors', rows: [[1, 2]] },
    manual: { minKpa: 680, faceSpreadKpa: 150 },
    geometry: { compressionRatio: 7, ratioFrom: 'port-closing' },
    decompressor: 'by-hand',
  };

  it('pass the engine card and the session file', () => {
    const parsed = parseEngineCard(JSON.stringify({ ...facts, layout: 'rotary-2' }));
    expect(parsed).toMatchObject({ ok: true, card: facts });
    expect(engineFromHeaders([], [1, 2], parsed.ok ? parsed.card : {})).toMatchObject(facts);
    const engine = engineRecord('e1', { facts });
    const read = sessionSchema.parse({ engines: [engine], tests: [], takes: [], plugs: [] });
    expect(read.engines[0]!.facts).toEqual(facts);
  });

  it('survive the form and the merging of two cards', () => {
    const { facts: _, ...rest } = engineRecord('e1');
    const bare = { ...rest, facts: { ...facts, manual: {}, geometry: {}, decompressor: undefined } };
    expect(mergedCard(bare, { ...rest, facts }, {}).facts).toEqual(facts);
    const rotary = { ...facts, geometry: {}, decompressor: undefined };
    expect(factsOf(formOf('R', rotary, 'kPa'), 'kPa')).toEqual({
      ...rotary,
      manual: { ...rotary.manual, maxKpa: undefined, spreadKpa: undefined },
      geometry: { compressionRatio: undefined, ratioFrom: undefined },
    });
    const small = single({ ...facts, layout: { kind: 'inline', rows: [[1]] }, manual: {} });
    const kept = factsOf(formOf('S', small, 'kPa'), 'kPa');
    expect(kept).toMatchObject({ decompressor: 'by-hand', geometry: small.geometry });
  });

  it('a rotary form takes 1 to 4 rotors', () => {
    const form = formOf('R', facts, 'kPa');
    expect(problemsOf({ ...form, count: '4' }, 'kPa')).toEqual([]);
    expect(problemsOf({ ...form, count: '5' }, 'kPa')).toEqual([{ field: 'count', code: 'rotorRange' }]);
  });
});
