import { useModel, useReader } from '../../components/model.ts';
import { Stamp } from '../../components/pieces.tsx';
import { Plan } from '../../components/plan.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import type { EngineRecord, Origin, TestRecord } from '../../store/port.ts';
import { markedOrigins, planCells } from '../test/plan-cells.ts';
import { layoutWords, testInWords } from '../test/test-words.ts';

/** An engine as its plan, its name, and what its last test came to. */
export function EngineRow({ engine }: { engine: EngineRecord }) {
  const { store } = useModel();
  const reader = useReader();
  const { t } = reader;
  const { loaded } = useLoaded(engine.id, () => store.tests(engine.id));
  const last = loaded.state === 'ready' ? latest(loaded.value) : undefined;
  if (last) return <TestedEngineRow engine={engine} test={last} />;
  return (
    <li>
      <a class="engine-row" href={`/engine/${engine.id}`}>
        <Plan layout={engine.facts.layout} cells={new Map()} size="thumb" label="" />
        <EngineName engine={engine} />
        <span class="quiet">
          {loaded.state === 'failed'
            ? t.storeRead[loaded.code]
            : reader.say(t.bench.neverTested, { layout: layoutWords(engine.facts, reader) })}
        </span>
      </a>
    </li>
  );
}

function TestedEngineRow({ engine, test }: { engine: EngineRecord; test: TestRecord }) {
  const { bench } = useModel();
  const reader = useReader();
  const resource = bench.test(test.id).value;
  const value = resource.state === 'failed' ? null : resource.value;
  return (
    <li>
      <a class="engine-row" href={`/engine/${engine.id}`}>
        <Plan
          layout={engine.facts.layout}
          cells={value ? planCells(value, reader) : new Map()}
          size="thumb"
          label=""
        />
        <EngineName engine={engine} origins={value ? markedOrigins(value) : []} />
        <span class="quiet">
          {resource.state === 'failed'
            ? reader.t.storeRead[resource.problem.code]
            : value
              ? testInWords(value, reader)
              : reader.t.app.loading}
        </span>
      </a>
    </li>
  );
}

function EngineName({ engine, origins = [] }: { engine: EngineRecord; origins?: readonly Origin[] }) {
  const { t } = useReader();
  return (
    <span class="strong">
      {engine.name}{' '}
      {[...new Set([engine.origin, ...origins])]
        .filter((origin) => origin !== 'measured')
        .map((origin) => (
          <Stamp key={origin}>{t.origin[origin]}</Stamp>
        ))}
    </span>
  );
}

function latest(tests: readonly TestRecord[]): TestRecord | undefined {
  return [...tests].sort((a, b) => b.startedAt.localeCompare(a.startedAt))[0];
}
