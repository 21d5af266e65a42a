/** Limits of a report: everything that was not measured, known or confirmed. Pure. */

import { isRotary } from '../../../worker/core/engine.ts';
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { type CautionCode, cautionsFor } from '../../safety/cautions.ts';
import { unitDoubt } from '../compression-test/plausibility.ts';

/** One sentence per limit. */
export function notMeasured(loaded: LoadedTest, reader: Reader): string[] {
  const words = reader.t.report.notMeasuredItem;
  return [
    ...cylindersWithout(loaded, reader),
    ...wetTests(loaded, reader),
    ...about(unitDoubt(loaded)?.cylinders ?? [], words.unit, reader),
    ...typedIn(loaded, reader),
    ...date(loaded, reader),
    ...conditions(loaded, reader),
    ...unticked(loaded, reader),
    ...setAside(loaded, reader),
    words.beyond,
  ];
}

/** A sentence about these cylinders; empty when there are none. */
function about(cylinders: readonly number[], sentence: string, reader: Reader): string[] {
  if (cylinders.length === 0) return [];
  return [reader.say(sentence, { where: reader.cylinders(cylinders) })];
}

function cylindersWithout({ judgement, counting }: LoadedTest, reader: Reader): string[] {
  const words = reader.t.report.notMeasuredItem;
  const lacking = judgement.cylinders.filter(({ finalKpa }) => finalKpa === null).map((one) => one.cylinder);
  return [
    ...about(
      lacking.filter((cylinder) => !counting.dry.has(cylinder)),
      words.missing,
      reader,
    ),
    ...about(
      lacking.filter((cylinder) => counting.dry.has(cylinder)),
      words.unusable,
      reader,
    ),
  ];
}

function wetTests({ engine, judgement, counting }: LoadedTest, reader: Reader): string[] {
  const words = reader.t.report.notMeasuredItem;
  if (isRotary(engine.facts)) return [];
  if (engine.facts.fuel === 'diesel')
    return [words.wetDiesel, ...about([...counting.wet.keys()], words.wetOnDiesel, reader)];
  const alone = [...counting.wet.keys()].filter((cylinder) => !counting.dry.has(cylinder));
  return [
    ...(counting.wet.size === 0 && judgement.wetRetest.length === 0 ? [words.wetNone] : []),
    ...about(judgement.wetRetest, words.wetAsked, reader),
    ...about(alone, words.wetAlone, reader),
  ];
}

function typedIn({ counting }: LoadedTest, reader: Reader): string[] {
  const words = reader.t.report.notMeasuredItem;
  const typed = [...counting.dry.values(), ...counting.wet.values()].filter(({ take }) => take.typed);
  const numbers = (takes: readonly ReadTake[]) =>
    [...new Set(takes.map(({ take }) => take.cylinder))].sort((a, b) => a - b);
  const hasStrokes = ({ take }: ReadTake) => take.typed?.strokesKpa.some((kpa) => kpa !== null) ?? false;
  return [
    ...about(numbers(typed), words.typed, reader),
    ...about(numbers(typed.filter((one) => !hasStrokes(one))), words.typedFinal, reader),
  ];
}

/** A day entered by hand is a statement, not a measurement. */
function date({ test }: LoadedTest, reader: Reader): string[] {
  const isByHand = test.takenOn !== undefined && test.takenFrom !== 'file';
  return isByHand ? [reader.t.testDate.notMeasured] : [];
}

function conditions({ test, engine }: LoadedTest, reader: Reader): string[] {
  const words = reader.t.report.notMeasuredItem;
  const { ambientKpa, altitudeM, oilTemperatureC, batteryBeforeV, batteryAfterV } = test.conditions;
  const { manual, geometry } = engine.facts;
  const hasLevel = manual.minKpa !== undefined || geometry.compressionRatio !== undefined;
  return [
    ...(ambientKpa !== undefined
      ? []
      : [altitudeM === undefined ? words.barometer : words.barometerAltitude]),
    ...(hasLevel ? [] : [words.level]),
    ...(oilTemperatureC === undefined ? [words.oil] : []),
    ...(batteryBeforeV === undefined && batteryAfterV === undefined ? [words.battery] : []),
  ];
}

/** Preparation steps that affect a reading and were not confirmed. */
function unticked({ engine, test }: LoadedTest, reader: Reader): string[] {
  const { t, say } = reader;
  const names: Readonly<Partial<Record<CautionCode, string>>> = t.report.untickedName;
  const { ticked, throttleOpen, allPlugsOut } = test.conditions;
  const noted: Readonly<Partial<Record<CautionCode, boolean | undefined>>> = {
    'throttle-open': throttleOpen,
    'plugs-out': allPlugsOut,
    'injectors-out': allPlugsOut,
  };
  const left = cautionsFor(engine.facts).filter((code) => !ticked.includes(code) && !noted[code]);
  const list = left.map((code) => names[code]).filter((name) => name !== undefined);
  return list.length === 0 ? [] : [say(t.report.notMeasuredItem.unticked, { list: reader.list(list) })];
}

function setAside({ takes }: LoadedTest, { t, say }: Reader): string[] {
  const n = takes.filter(({ take }) => take.state === 'set-aside').length;
  return n === 0 ? [] : [say(t.report.notMeasuredItem.setAside, { n })];
}
