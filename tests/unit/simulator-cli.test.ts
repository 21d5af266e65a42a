import { execFile } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, describe, expect, it } from 'vitest';
import { root } from '../../build/install.mjs';
import { captureOf, cylindersAsked, engineOf, type Typed } from '../../simulator/cli/options.ts';
import { traceText } from '../../simulator/cli/trace-text.ts';
import { specimen } from '../../simulator/population.ts';
import { simulateTrace } from '../../simulator/simulate.ts';
import { parseTraceCsv } from '../../worker/file/csv/trace-csv.ts';

const run = (words: readonly string[]) =>
  promisify(execFile)(join(root, 'node_modules/.bin/tsx'), [join(root, 'simulator/cli.ts'), ...words]);
/** Starting a Node process takes a second or two on a busy machine. */
const SLOW_MS = 30_000;
const read = (typed: Typed) => {
  const { engine } = engineOf(typed);
  cylindersAsked(typed, engine, true);
  return captureOf(typed, engine);
};

describe('options', () => {
  it('builds the requested engine and capture', () => {
    const { engine, faults } = engineOf({
      layout: 'v6',
      ratio: '10.5',
      rpm: '210',
      fault: ['gasket-leak:3+5:0.2'],
    });
    expect(engine.cylinders.size).toBe(6);
    expect(engine.compressionRatio).toBe(10.5);
    expect(engine.drive.crankingRpm).toBe(210);
    expect(faults).toEqual([{ kind: 'gasket-leak', cylinders: [3, 5], severity: 0.2 }]);
    expect(engine.cylinders.get(5)!.gasketMm2).toBeGreaterThan(1);
    expect(engine.cylinders.get(4)!.gasketMm2).toBe(0);
    const capture = read({ hose: 'open', rate: '50', dropout: '1-2.5', loss: '0.1' });
    expect(capture.rig!.hose).toBe('open');
    expect(capture.sensor!.rateHz).toBe(50);
    expect(capture.damage).toEqual({ packetLoss: 0.1, dropouts: [{ startS: 1, endS: 2.5 }] });
  });

  it('gives a rotor the faults of its seals', () => {
    const { engine, faults } = engineOf({ layout: 'rotary-2', fault: ['apex-seal:2:1', 'side-seal'] });
    expect(faults).toEqual([
      { kind: 'apex-seal', cylinders: [2], severity: 1 },
      { kind: 'side-seal', cylinders: [1], severity: 0.5 },
    ]);
    const lowFaces = (rotor: number) => engine.cylinders.get(rotor)!.faceMm2!.filter((mm2) => mm2 > 0);
    expect(lowFaces(1)).toHaveLength(1);
    expect(lowFaces(2)).toHaveLength(2);
  });

  it.each<[Typed, RegExp]>([
    [{ layout: 'rotary-2', fault: ['valve-leak'] }, /--fault of a rotary engine knows apex-seal, side-seal/],
    [{ layout: 'rotary-2', fault: ['apex-seal:3'] }, /the engine has rotors 1, 2/],
    [{ fault: ['apex-seal'] }, /--fault knows worn-rings/],
    [{ layout: 'q9' }, /--layout takes a name such as/],
    [{ fault: ['worn'] }, /--fault knows worn-rings/],
    [{ fault: ['worn-rings:9'] }, /the engine has cylinders 1, 2, 3, 4/],
    [{ fault: ['worn-rings:1:7'] }, /severity is a number from 0 to 1/],
    [{ fault: ['worn-rings:1+x'] }, /the engine has cylinders/],
    [{ cylinder: '5' }, /the engine has cylinders 1, 2, 3, 4/],
    [{ cylinder: '1.5' }, /whole number/],
    [{ rate: 'fast' }, /--rate takes a number from 5 to 20000, not "fast"/],
    [{ rate: '' }, /--rate takes a number/],
    [{ hose: 'garden' }, /--hose takes check-valve or open/],
    [{ fuel: 'diesel', wet: true }, /never pour oil into a diesel/],
    [{ dropout: '3-1' }, /--dropout takes seconds/],
    [{ rod: '35', stroke: '80' }, /--rod must be longer/],
    [{ demo: 'none' }, /--demo takes one of healthy-inline-four/],
  ])('reports the problem with %j in one line', (typed, message) => {
    expect(() => read(typed)).toThrow(message);
  });
});

describe('a population', () => {
  it('is mixed, and each member can be made alone', () => {
    const all = Array.from({ length: 120 }, (_, i) => specimen(i, { seed: 4 }));
    expect(new Set(all.map((s) => s.kind)).size).toBeGreaterThanOrEqual(7);
    expect(new Set(all.map((s) => s.engine.fuel))).toEqual(new Set(['spark', 'diesel']));
    expect(new Set(all.map((s) => s.engine.cycle))).toEqual(new Set([2, 4]));
    expect(all.some((s) => s.spec.condition === 'wet' && s.engine.fuel === 'diesel')).toBe(false);
    expect(specimen(77, { seed: 4 })).toEqual(all[77]);
  });

  it('cranks for every draw', () => {
    for (let i = 0; i < 25; i++) {
      const { spec } = specimen(i, { seed: 21 });
      const { trace, truth } = simulateTrace({ ...spec, tolerance: 1e-5 });
      expect(truth.strokes).toBeGreaterThanOrEqual(spec.strokes!);
      expect(truth.finalKpa).toBeGreaterThan(50);
      expect(trace.timeS.at(-1)).toBeLessThan(40);
      expect(trace.pressureKpa.every(Number.isFinite)).toBe(true);
    }
  });
});

describe('files', () => {
  it('read back as written, including gaps', () => {
    const { spec } = specimen(3, { seed: 8 });
    const lossy = { ...spec, damage: { packetLoss: 0.05 } };
    const made = simulateTrace(lossy);
    const outcome = parseTraceCsv(traceText(made, lossy), 'c1.csv');
    if (!outcome.ok) expect.fail(outcome.problem.detail);
    const [{ trace, header }] = outcome.traces as [(typeof outcome.traces)[number]];
    expect(header.cylinder).toBe(spec.cylinder);
    expect(header.hose).toBe(made.truth.hose);
    expect(trace.timeS.length).toBe(made.trace.timeS.length);
    expect(trace.gaps.length).toBe(made.trace.gaps.length);
    trace.pressureKpa.forEach((kpa, i) => {
      expect(Math.abs(kpa - made.trace.pressureKpa[i]!)).toBeLessThan(1e-4);
    });
  });
});

describe('the command', () => {
  const folders: string[] = [];
  afterAll(() => Promise.all(folders.map((folder) => rm(folder, { recursive: true }))));

  it(
    'writes an engine with its truth',
    async () => {
      const folder = await mkdtemp(join(tmpdir(), 'strokebook-simulated-'));
      folders.push(folder);
      await run([
        '--layout',
        'flat-2',
        '--fault',
        'valve-leak:2',
        '--offset',
        '-2',
        '--truth',
        '--out',
        folder,
      ]);
      expect((await readdir(folder)).sort()).toEqual(['c1-dry.csv', 'c2-dry.csv', 'truth.json']);
      const truth = JSON.parse(await readFile(join(folder, 'truth.json'), 'utf8'));
      expect(truth['c1-dry.csv'].kind).toBe('sound');
      expect(truth['c2-dry.csv'].kind).toBe('valve-leak');
      expect(truth['c2-dry.csv'].final_kpa).toBeLessThan(0.8 * truth['c1-dry.csv'].final_kpa);
    },
    SLOW_MS,
  );

  it.each([[['--frob']], [['--population', '3', '--wet']]])(
    'exits with 2 and one line for %j',
    async (words) => {
      const failure = await run(words).then(
        () => expect.fail('it was taken'),
        (cause: { code: number; stderr: string; stdout: string }) => cause,
      );
      expect(failure.code).toBe(2);
      expect(failure.stderr).toMatch(/^simulate: [^\n]+\n$/);
      expect(failure.stdout).toBe('');
    },
    SLOW_MS,
  );
});
