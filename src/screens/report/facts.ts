/** Engine card and conditions as lines of a report; only known facts. Pure. */

import type { EngineRecord } from '../../../worker/file/records.ts';
import { quantityFigure } from '../../../worker/words/quantity.ts';
import { ambientKpa } from '../../analysis/reading-options.ts';
import type { Reader } from '../../components/reader.ts';
import { sourceName } from '../../components/source-words.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { accuracyWords } from '../compression-test/accuracy-words.ts';

export interface Fact {
  readonly name: string;
  readonly value: string;
}

/** Leaves out facts without a value. */
export const known = (facts: readonly (readonly [string, string | undefined])[]): Fact[] =>
  facts.flatMap(([name, value]) => (value === undefined || value === '' ? [] : { name, value }));

/** `value` as text; `undefined` when it is missing. */
export const when = <T>(value: T | undefined | null, words: (value: T) => string): string | undefined =>
  value === undefined || value === null ? undefined : words(value);

/** Lines about the engine's figures. */
export function engineFacts({ facts }: EngineRecord, reader: Reader): Fact[] {
  const { t, say, number, pressure, quantity, units, locale } = reader;
  const names = t.report.fact;
  const { geometry, manual } = facts;
  const { boreMm, strokeMm } = geometry;
  const length = (mm: number) => quantity(mm, 'length');
  return known([
    [names.manualMin, when(manual.minKpa, pressure)],
    [names.manualMax, when(manual.maxKpa, pressure)],
    [names.manualSpread, when(manual.spreadKpa, pressure)],
    [t.setup.faceSpread, when(manual.faceSpreadKpa, pressure)],
    [names.ratio, when(geometry.compressionRatio, (ratio) => `${number(ratio, 1)} : 1`)],
    [t.setup.ratioFrom, when(geometry.ratioFrom, (from) => t.setup.ratioFromKind[from])],
    [t.setup.decompressor, when(facts.decompressor, (kind) => t.setup.decompressorKind[kind])],
    ...(boreMm !== undefined && strokeMm !== undefined
      ? [
          [
            names.boreStroke,
            `${quantityFigure(boreMm, 'length', units, locale)} × ${length(strokeMm)}`,
          ] as const,
        ]
      : [[names.bore, when(boreMm, length)] as const, [names.stroke, when(strokeMm, length)] as const]),
    [names.rod, when(geometry.rodMm, length)],
    [names.intakeCloses, when(geometry.intakeClosesDegAbdc, (deg) => say(t.report.afterBottom, { deg }))],
  ]);
}

/** Lines about the conditions, the sensors and the hoses. */
export function conditionFacts(
  { engine, test }: LoadedTest,
  takes: readonly ReadTake[],
  reader: Reader,
): Fact[] {
  const { t, quantity } = reader;
  const names = t.report.fact;
  const { conditions } = test;
  return known([
    [names.barometer, barometer(test.conditions, reader)],
    [names.oil, when(conditions.oilTemperatureC, (celsius) => quantity(celsius, 'temperature'))],
    [names.battery, battery(conditions, reader)],
    [names.prepared, prepared({ engine, test }, reader)],
    [names.source, sources(takes, reader)],
    [
      names.sensorRange,
      unique(takes, ({ take }) => when(take.source.sensorMaxKpa, (kpa) => reader.pressure(kpa))),
    ],
    [
      takes.every(({ take }) => take.typed) ? names.dialClass : names.sensorClass,
      unique(takes, ({ take }) => accuracyWords(take.source.accuracy, reader)),
    ],
    [
      names.hose,
      // With a dial gauge the hose is never asked for.
      unique(takes, ({ take, reading }) =>
        take.typed || reading.hose === 'undetermined'
          ? undefined
          : t.hose[reading.hose].toLocaleLowerCase(reader.locale),
      ),
    ],
  ]);
}

function barometer(conditions: LoadedTest['test']['conditions'], { t, say, quantity }: Reader) {
  if (conditions.ambientKpa !== undefined) return quantity(conditions.ambientKpa, 'barometer');
  const kpa = ambientKpa(conditions);
  return kpa === undefined ? undefined : say(t.report.fromAltitude, { kpa, altitude: conditions.altitudeM });
}

function battery({ batteryBeforeV, batteryAfterV }: LoadedTest['test']['conditions'], { t, say }: Reader) {
  if (batteryBeforeV !== undefined)
    return say(t.report.batteryBoth, { before: batteryBeforeV, after: batteryAfterV });
  return when(batteryAfterV, (after) => say(t.report.batteryAfter, { after }));
}

/** Recorded preparation that affects readings: throttle open, plugs or injectors out. */
function prepared({ engine, test }: Pick<LoadedTest, 'engine' | 'test'>, { t }: Reader): string {
  const { throttleOpen, allPlugsOut } = test.conditions;
  const done = t.report.preparedItem;
  const out = engine.facts.fuel === 'diesel' ? done.injectorsOut : done.plugsOut;
  return [...(throttleOpen ? [done.throttleOpen] : []), ...(allPlugsOut ? [out] : [])].join(', ');
}

/** Maximum number of sources listed: each recording is a source of its own. */
const MOST_SOURCES = 4;

/** Sources of the figures, by the names they report; `undefined` when there are none. */
function sources(takes: readonly ReadTake[], reader: Reader): string | undefined {
  const { t, say } = reader;
  const names = uniqueOf(takes, ({ take: { source } }) =>
    source.kind === 'typed'
      ? t.report.sourceTyped
      : [sourceName(source, reader), source.manufacturer, source.model, source.serial]
          .filter(Boolean)
          .join(', '),
  );
  if (names.length <= MOST_SOURCES) return joined(names);
  const shown = names.slice(0, MOST_SOURCES - 1);
  return say(t.report.sourcesMore, { list: joined(shown), n: names.length - shown.length });
}

function uniqueOf(takes: readonly ReadTake[], of: (take: ReadTake) => string | undefined): string[] {
  return [...new Set(takes.map(of).filter((value) => value !== undefined))];
}

const joined = (values: readonly string[]): string => values.join('; ');

const unique = (takes: readonly ReadTake[], of: (take: ReadTake) => string | undefined): string =>
  joined(uniqueOf(takes, of));
