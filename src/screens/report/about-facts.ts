/** Engine, customer and day of a test, for the customer's half of a report; only known facts. Pure. */
import type { Reader } from '../../components/reader.ts';
import type { LoadedTest, ReadTake } from '../../library/library.ts';
import { takenAt } from '../../library/test-date.ts';
import { layoutWords } from '../compression-test/verdict-words.ts';
import { type Fact, known, when } from './facts.ts';

/** Lines about the engine, its owner and the test. */
export function aboutFacts({ engine, test }: LoadedTest, takes: readonly ReadTake[], reader: Reader): Fact[] {
  const { t, number, quantity } = reader;
  const names = t.report.fact;
  const { make, model, registration, engineCode, customer } = engine.identity ?? {};
  return known([
    [t.card.customer, customer],
    [t.testDate.jobNumber, test.jobNumber],
    [t.customer.fact.vehicle, [make, model].filter(Boolean).join(' ')],
    [t.card.registration, registration],
    [t.card.engineCode, engineCode],
    [t.customer.fact.engine, layoutWords(engine.facts, reader)],
    [names.odometer, when(test.conditions.odometerKm, (km) => quantity(km, 'distance'))],
    [names.hours, when(test.conditions.hours, (hours) => `${number(hours, 1)}\u00a0h`)],
    [names.measured, measuredOn(test, takes, reader)],
  ]);
}

/** The time of the first reading, or the day entered or stated by a file, with the time of the record. */
function measuredOn(test: LoadedTest['test'], takes: readonly ReadTake[], reader: Reader): string {
  const recorded = reader.dateTime(takes[0]?.take.startedAt ?? test.startedAt);
  if (test.takenOn === undefined) return recorded;
  const words = reader.t.testDate;
  return reader.say(test.takenFrom === 'file' ? words.inReportFromFile : words.inReportByHand, {
    day: reader.day(takenAt(test)),
    recorded,
  });
}
