/** Measures the cost per sample as traces grow, read whole and streamed, and the memory that a stream keeps. */
import { endlessCranking } from './captures.ts';
import { atMost, type Figure } from './figure.ts';
import type { ShippedCore } from './shipped-core.ts';

const SIZES = [1e3, 1e4, 1e5, 1e6, 1e7];
const RATE_HZ = 1000;
const BLOCK = 10_000;
/** Largest allowed exponent of cost against number of samples; runs differ by a few hundredths. */
const MOST_POWER = 1.1;
/** Shorter traces are left out: a fixed cost per trace raises their cost per sample. */
const TELLING_SIZE = 1e5;
/** Largest memory that a stream may keep, whatever its length. */
const MOST_MB = 100;

const samples = endlessCranking(RATE_HZ);

/** Growth exponents and stream memory, with their limits; prints the cost for each size. */
export function growth(core: ShippedCore): Figure[] {
  const whole = SIZES.map((size) => costOfReading(core, size));
  const streamed = SIZES.map((size) => costOfStream(core, size));
  for (const [i, size] of SIZES.entries()) {
    const { perSampleNs, heapMb } = streamed[i]!;
    console.log(
      `  ${size.toExponential(0)} samples: read ${whole[i]!.toFixed(0)} ns a sample; ` +
        `streamed ${perSampleNs.toFixed(0)} ns a sample, ${heapMb.toFixed(1)} MB kept`,
    );
  }
  return [
    atMost('read: power of the size as which cost grows', powerOf(whole), MOST_POWER, ''),
    atMost('streamed: the same', powerOf(streamed.map((s) => s.perSampleNs)), MOST_POWER, ''),
    atMost('streamed: most memory kept', Math.max(...streamed.map((s) => s.heapMb)), MOST_MB, 'MB', 1),
  ];
}

/**
 * Least-squares slope of ln cost against ln size, from 10^5 samples on. The step where a trace exceeds the processor's caches
 * (between 10^6 and 10^7) is not lasting growth; over two decades it adds little to the slope.
 */
function powerOf(perSample: readonly number[]): number {
  const points = SIZES.flatMap((size, i) =>
    size < TELLING_SIZE ? [] : [{ x: Math.log(size), y: Math.log(perSample[i]! * size) }],
  );
  const mean = (of: (p: { x: number; y: number }) => number) =>
    points.reduce((sum, p) => sum + of(p), 0) / points.length;
  const [x, y] = [mean((p) => p.x), mean((p) => p.y)];
  return mean((p) => (p.x - x) * (p.y - y)) / mean((p) => (p.x - x) ** 2);
}

/** Processor time, ns per sample, the best of several runs: other load on the machine affects it less than wall time. */
function costOfReading({ readTrace }: ShippedCore, size: number): number {
  const trace = { ...samples(0, size), gaps: [] };
  return bestOf(runsFor(size), () => readTrace(trace, { cycle: 4 })) / size;
}

const runsFor = (size: number) => Math.max(3, Math.min(40, 4e6 / size));

function bestOf(runs: number, work: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < runs; i++) best = Math.min(best, cpuNs(work));
  return best;
}

function cpuNs(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return 1000 * (user + system);
}

function costOfStream({ openLiveView }: ShippedCore, size: number) {
  const before = usedMb();
  let heapMb = 0;
  const run = () => {
    const stream = openLiveView({ cycle: 4 });
    let spent = 0;
    for (let from = 0; from < size; from += BLOCK) {
      const block = samples(from, Math.min(size, from + BLOCK));
      spent += cpuNs(() => stream.push(block));
    }
    heapMb = Math.max(heapMb, usedMb() - before);
    return spent;
  };
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < Math.min(20, runsFor(size)); i++) best = Math.min(best, run());
  return { perSampleNs: best / size, heapMb };
}

/** Memory in use after a collection, typed arrays included. */
function usedMb(): number {
  globalThis.gc?.();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return (heapUsed + arrayBuffers) / 1e6;
}
