import type { ComponentChildren } from 'preact';
import { type EngineFacts, isRotary } from '../../worker/core/engine.ts';
import { ReaderContext } from './model.ts';
import type { Reader } from './reader.ts';

/** The reader with the texts for rotary engines, which name rotors in place of cylinders. */
function rotorReader(reader: Reader): Reader {
  const { t, say, list } = reader;
  const { column, typed, results, compare, report, card, trend, plugs } = t.ofRotors;
  return {
    ...reader,
    t: {
      ...t,
      column: { ...t.column, ...column },
      typed: { ...t.typed, ...typed },
      results: { ...t.results, ...results },
      compare: { ...t.compare, ...compare },
      export: { ...t.export, ...t.ofRotors.export },
      report: { ...t.report, ...report },
      card: { ...t.card, ...card },
      trend: { ...t.trend, ...trend },
      plugs: { ...t.plugs, ...plugs },
    },
    cylinders: (numbers) => say(t.rotors, { n: numbers.length, list: list(numbers) }),
  };
}

const asIs = (reader: Reader): Reader => reader;

/** Inside, `useReader` words everything for this engine: rotors in place of cylinders for a rotary one. */
export function EngineWords({ facts, children }: { facts: EngineFacts; children: ComponentChildren }) {
  return (
    <ReaderContext.Provider value={isRotary(facts) ? rotorReader : asIs}>{children}</ReaderContext.Provider>
  );
}
