/** Derives the constants of `suspect-model.ts` and `expected.ts` from the features of simulated engines. */

import { type Signature, signatureOf } from '../../worker/core/judge/signature.ts';
import { modelLnOdds } from '../../worker/core/judge/suspect-calibration.ts';
import { othersLag } from '../../worker/core/judge/suspect-likelihood.ts';
import { expectedCranking } from '../../worker/core/physics/expected.ts';
import type { SimulatedTest } from './judgement-population.ts';
import { isTrue, type JudgedEngine } from './judgement-score.ts';

interface Row {
  /** Cause, or `sound`. */
  readonly kind: string;
  readonly allLow: boolean;
  readonly signature: Signature;
  /** ln(mean level of the engine's sound cylinders / level); `null` without a sound one. */
  readonly drop: number | null;
  readonly relativeLag: number | null;
  /** ln(level / expected level); `null` when geometry or barometer is unknown. */
  readonly beyondExpected: number | null;
}

const mean = (v: readonly number[]): number => v.reduce((sum, x) => sum + x, 0) / v.length;
const deviation = (v: readonly number[]): number => Math.sqrt(mean(v.map((x) => (x - mean(v)) ** 2)));

function rowsOf({ readings, engine, conditions, faults }: SimulatedTest): Row[] {
  const cylinders = [...new Set(readings.map((one) => one.cylinder))];
  const signatures = cylinders.flatMap((cylinder) => signatureOf(readings, cylinder) ?? []);
  const kindOf = (cylinder: number): string =>
    faults.find(({ cause, cylinders: bad }) => cause !== 'all-low' && bad.includes(cylinder))?.cause ??
    'sound';
  const sound = signatures.filter(({ cylinder }) => kindOf(cylinder) === 'sound').map((one) => one.lnLevel);
  return signatures.map((signature) => {
    const { hose, crankingRpm } = signature.reading;
    const expected = expectedCranking(engine.geometry, {
      ...conditions,
      fuel: engine.fuel,
      cycle: engine.cycle,
      rpm: crankingRpm ?? undefined,
      hose: hose === 'undetermined' ? undefined : hose,
    });
    const usualLag = othersLag(signatures, signature);
    return {
      kind: kindOf(signature.cylinder),
      allLow: faults.some(({ cause }) => cause === 'all-low'),
      signature,
      drop: sound.length < 2 ? null : mean(sound) - signature.lnLevel,
      relativeLag: signature.lag === null || usualLag === null ? null : signature.lag - usualLag,
      beyondExpected:
        expected === null || conditions.ambientKpa === undefined
          ? null
          : signature.lnLevel - Math.log(expected.expectedKpa),
    };
  });
}

/** Least squares of y on x. */
function line(points: readonly (readonly [x: number, y: number])[]) {
  const mx = mean(points.map(([x]) => x));
  const my = mean(points.map(([, y]) => y));
  const slope =
    points.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0) /
    points.reduce((sum, [x]) => sum + (x - mx) ** 2, 0);
  const at0 = my - slope * mx;
  return { at0, slope, sd: deviation(points.map(([x, y]) => y - at0 - slope * x)) };
}

const figure = (x: number): string => x.toFixed(3).padStart(7);

function printSpread(label: string, values: readonly number[]): void {
  if (values.length < 5) return;
  console.log(
    `  ${label.padEnd(52)} mean ${figure(mean(values))}  sd ${figure(deviation(values))}  (${values.length})`,
  );
}

function printLine(label: string, points: readonly (readonly [number, number])[]): void {
  if (points.length < 8) return;
  const { at0, slope, sd } = line(points);
  console.log(
    `  ${label.padEnd(52)} ${figure(at0)} + ${figure(slope)} drop, sd ${figure(sd)}  (${points.length})`,
  );
}

/** Prints every figure that a constant is based on. */
export function printFit(tests: readonly SimulatedTest[]): void {
  const rows = tests.flatMap(rowsOf);
  const drops = (some: readonly Row[]): number[] => some.flatMap(({ drop }) => drop ?? []);
  const plain = rows.filter((row) => !row.allLow);
  const sound = plain.filter(({ kind }) => kind === 'sound');
  console.log(`Features of ${tests.length} simulated engines, natural logarithms of level`);
  for (const [from, to] of [
    [0, 170],
    [170, 210],
    [210, 250],
    [250, 400],
  ] as const) {
    const inside = sound.filter(({ signature: { reading } }) => {
      const rpm = reading.crankingRpm ?? 0;
      return rpm >= from && rpm < to;
    });
    printSpread(`sound cylinders about their mean, ${from} to ${to} rpm`, drops(inside));
  }
  for (const kind of ['ring-wear', 'valve-leak', 'head-gasket', 'carbon']) {
    printSpread(`drop, ${kind}`, drops(plain.filter((row) => row.kind === kind)));
  }
  for (const hose of ['open', 'check-valve'] as const) {
    const here = (row: Row): boolean => row.signature.reading.hose === hose;
    const all = rows.filter((row) => row.kind === 'sound' && here(row));
    const beyond = (some: readonly Row[]): number[] =>
      some.flatMap(({ beyondExpected }) => beyondExpected ?? []);
    printSpread(`sound against expected, ${hose}`, beyond(all.filter((row) => !row.allLow)));
    printSpread(`all low against expected, ${hose}`, beyond(all.filter((row) => row.allLow)));
    for (const kind of ['sound', 'ring-wear', 'valve-leak', 'head-gasket']) {
      printLine(
        `lag against others, ${kind}, ${hose}`,
        plain.flatMap((row) =>
          row.kind === kind && here(row) && row.drop !== null && row.relativeLag !== null
            ? [[row.drop, row.relativeLag] as const]
            : [],
        ),
      );
    }
  }
  for (const kind of ['ring-wear', 'valve-leak', 'head-gasket']) {
    printLine(
      `wet rise, ${kind}`,
      plain.flatMap(({ kind: its, drop, signature: { wetRise } }) =>
        its === kind && drop !== null && wetRise !== null ? [[drop, wetRise] as const] : [],
      ),
    );
  }
}

/** Number of Newton steps: ample, because the likelihood of two coefficients is concave. */
const NEWTON_STEPS = 30;

/** One suspect: the ln odds that the model computed for it, and whether it is true. */
interface Calibrated {
  readonly x: number;
  readonly y: number;
}

/** Intercept and slope of `suspect-calibration.ts`. */
export interface Calibration {
  readonly at0: number;
  readonly slope: number;
}

/** Suspects whose confidence is the model's own: a leaking rig is weighed elsewhere, and all-low has a cap. */
export function calibrationPoints(engines: readonly JudgedEngine[]): Calibrated[] {
  return engines.flatMap((one) =>
    one.judgement.suspects
      .filter(({ cause }) => cause !== 'rig-leak' && cause !== 'all-low')
      .map((suspect) => ({ x: modelLnOdds(suspect.confidence), y: Number(isTrue(suspect, one)) })),
  );
}

/**
 * Logistic regression of whether a suspect is true on the ln odds that the model computed for it: slope alone, with the intercept of 0
 * that `suspect-calibration.ts` prescribes.
 */
export function fitSlope(points: readonly Calibrated[]): Calibration {
  let slope = 1;
  for (let n = 0; n < NEWTON_STEPS; n++) {
    let [gradient, curvature] = [0, 0];
    for (const { x, y } of points) {
      const p = 1 / (1 + Math.exp(-slope * x));
      gradient += (y - p) * x;
      curvature += p * (1 - p) * x ** 2;
    }
    slope += gradient / curvature;
  }
  return { at0: 0, slope };
}

/** Prints the fit of `suspect-calibration.ts`. */
export function printCalibration(engines: readonly JudgedEngine[]): void {
  const points = calibrationPoints(engines);
  const { at0, slope } = fitSlope(points);
  console.log(
    `  ln odds of being true: ${figure(at0)} + ${figure(slope)} x model ln odds  (${points.length} suspects)`,
  );
}
