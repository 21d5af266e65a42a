/** Times the whole reading of one long trace and SciPy's pipeline for the same peaks, alternating. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Trace } from '../../../worker/core/trace.ts';
import { findScipy } from '../../support/scipy.ts';
import { crankedTrace } from './captures.ts';
import { atMost, type Figure } from './figure.ts';
import type { ShippedCore } from './shipped-core.ts';

const SAMPLES = 600_000;
const TURNS = 25;
const MOST_RATIO = 0.5;
const SCRIPT = fileURLToPath(new URL('../scipy-pipeline.py', import.meta.url));

/** One minute of cranking at a high rate, and ten minutes (ten times the strokes) at an ordinary high rate. */
const RATES_HZ = [10_000, 1000];

/** Time of the reading relative to SciPy's, at each rate; not ok where SciPy is missing. */
export async function againstScipy(core: ShippedCore): Promise<Figure[]> {
  const figures: Figure[] = [];
  for (const rateHz of RATES_HZ) figures.push(...(await compare(core, rateHz)));
  return figures;
}

async function compare({ readTrace }: ShippedCore, rateHz: number): Promise<Figure[]> {
  const name = `${SAMPLES} samples at ${rateHz} Hz, reading over SciPy`;
  const trace = longTrace(rateHz);
  const scipy = findScipy();
  if (!scipy) {
    const ms = Math.min(
      ...Array.from({ length: TURNS }, () => timeOf(() => readTrace(trace, { cycle: 4 })).ms),
    );
    return [
      {
        name,
        measured: `${ms.toFixed(1)} ms alone`,
        limit: 'not compared: needs python3 with SciPy (Debian: python3-scipy)',
        ok: false,
      },
    ];
  }
  const theirs: number[] = [];
  const ours: number[] = [];
  const peaks = { ours: 0, theirs: 0 };
  const python = openPipeline(scipy.program, trace, rateHz);
  try {
    for (let i = 0; i < TURNS; i++) {
      const mine = timeOf(() => readTrace(trace, { cycle: 4 }));
      ours.push(mine.ms);
      peaks.ours = mine.result.strokes.length;
      const answer = await python.run();
      theirs.push(answer.ms);
      peaks.theirs = answer.peaks;
    }
  } finally {
    python.close();
  }
  const best = { ours: Math.min(...ours), theirs: Math.min(...theirs) };
  console.log(
    `  ${rateHz} Hz: reading ${best.ours.toFixed(1)} ms (${peaks.ours} strokes), SciPy ${scipy.version} ` +
      `${best.theirs.toFixed(1)} ms (${peaks.theirs} peaks); best of ${TURNS} each, in turns`,
  );
  return [
    atMost(name, best.ours / best.theirs, MOST_RATIO, ''),
    atMost('strokes that only one of the two found', Math.abs(peaks.ours - peaks.theirs), 1, '', 0),
  ];
}

function longTrace(rateHz: number): Trace {
  const { timeS, pressureKpa, gaps } = crankedTrace(SAMPLES / rateHz, rateHz);
  return { timeS: timeS.slice(0, SAMPLES), pressureKpa: pressureKpa.slice(0, SAMPLES), gaps };
}

function timeOf<T>(work: () => T): { ms: number; result: T } {
  const started = performance.now();
  const result = work();
  return { ms: performance.now() - started, result };
}

/** Keeps the interpreter running, so that its start is not timed. */
function openPipeline(program: string, trace: Trace, rateHz: number) {
  const folder = mkdtempSync(join(tmpdir(), 'strokebook-bench-'));
  const file = join(folder, 'pressure.f64');
  writeFileSync(file, new Uint8Array(trace.pressureKpa.buffer));
  const python = spawn(program, [SCRIPT, file, String(rateHz)], { stdio: ['pipe', 'pipe', 'inherit'] });
  const lines = createInterface(python.stdout)[Symbol.asyncIterator]();
  return {
    async run(): Promise<{ ms: number; peaks: number }> {
      python.stdin.write('\n');
      const { value, done } = await lines.next();
      if (done) throw new Error('The SciPy pipeline ended early.');
      const [ms, peaks] = value.split(' ').map(Number) as [number, number];
      return { ms, peaks };
    },
    close() {
      python.stdin.end();
      rmSync(folder, { recursive: true });
    },
  };
}
