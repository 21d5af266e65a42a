import type { ComponentChildren } from 'preact';
import type { EngineRecord, Origin, TestRecord } from '../../../worker/file/records.ts';
import { besideName } from '../../components/engine-label.ts';
import { useModel, useReader } from '../../components/model.ts';
import { Plan, type PlanCell } from '../../components/plan.tsx';
import { useRowFailure } from '../../components/row-trouble.tsx';
import { Stamp } from '../../components/stamp.tsx';
import { useInView } from '../../components/use-in-view.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import { useTest } from '../../components/use-test.ts';
import { byTaken } from '../../library/test-date.ts';
import { markedOrigins, planCells } from '../compression-test/plan-cells.ts';
import { layoutWords, testInWords } from '../compression-test/verdict-words.ts';

/** An engine with its plan, name and last result. Loaded and drawn when it scrolls into view. */
export function EngineRow({ engine }: { engine: EngineRecord }) {
  const { t } = useReader();
  const { ref, isInView, wasInView } = useInView<HTMLLIElement>();
  return (
    <li ref={ref}>
      <a class="engine-row" href={`engine/${engine.id}`}>
        {wasInView ? (
          <SeenEngine engine={engine} isInView={isInView} />
        ) : (
          <>
            <svg class="plan thumb" aria-hidden="true" />
            <EngineName engine={engine} />
            <span class="quiet">{t.app.loading}</span>
          </>
        )}
      </a>
    </li>
  );
}

function SeenEngine({ engine, isInView }: { engine: EngineRecord; isInView: boolean }) {
  const { store } = useModel();
  const reader = useReader();
  const { t } = reader;
  const { loaded } = useLoaded(engine.id, () => store.tests(engine.id));
  const last = loaded.state === 'ready' ? latest(loaded.value) : undefined;
  useRowFailure(loaded.state === 'failed' ? loaded.problem.code : null);
  if (last) return <TestedEngine key={last.id} engine={engine} test={last} isInView={isInView} />;
  return (
    <Row engine={engine}>
      {loaded.state === 'failed'
        ? t.engines.rowNotRead
        : loaded.state === 'loading'
          ? t.app.loading
          : reader.say(t.engines.neverTested, { layout: layoutWords(engine.facts, reader) })}
    </Row>
  );
}

interface TestedEngineProps {
  engine: EngineRecord;
  test: TestRecord;
  isInView: boolean;
}

function TestedEngine({ engine, test, isInView }: TestedEngineProps) {
  const reader = useReader();
  const resource = useTest(test.id, isInView);
  useRowFailure(resource.state === 'failed' ? resource.problem.code : null);
  if (resource.state === 'failed') return <Row engine={engine}>{reader.t.engines.rowNotRead}</Row>;
  const { value } = resource;
  if (!value) return <Row engine={engine}>{reader.t.app.loading}</Row>;
  return (
    <Row engine={engine} cells={planCells(value, reader)} origins={markedOrigins(value)}>
      {testInWords(value, reader)}
    </Row>
  );
}

interface RowProps {
  engine: EngineRecord;
  cells?: ReadonlyMap<number, PlanCell>;
  origins?: readonly Origin[];
  children: ComponentChildren;
}

/** Placeholder for an example that is being made, so that nothing moves when it appears. */
export function ComingRow({ name }: { name: string }) {
  return (
    <li aria-hidden="true">
      <span class="engine-row-coming">
        <svg class="plan thumb" />
        <EngineName engine={{ name, origin: 'example' }} />
      </span>
    </li>
  );
}

function Row({ engine, cells = new Map(), origins = [], children }: RowProps) {
  return (
    <>
      <Plan layout={engine.facts.layout} cells={cells} size="thumb" label="" />
      <EngineName engine={engine} />
      <span class="quiet">
        {/* These origins load late: beside the name they would push the text down. */}
        <Stamps origins={origins.filter((origin) => origin !== engine.origin)} /> {children}
      </span>
    </>
  );
}

function EngineName({ engine }: { engine: Pick<EngineRecord, 'name' | 'origin' | 'identity'> }) {
  const beside = besideName(engine.identity);
  return (
    <span class="strong">
      <bdi>{engine.name}</bdi> {beside && <bdi class="beside-name">{beside}</bdi>}{' '}
      <Stamps origins={[engine.origin]} />
    </span>
  );
}

function Stamps({ origins }: { origins: readonly Origin[] }) {
  const { t } = useReader();
  return [...new Set(origins)]
    .filter((origin) => origin !== 'measured')
    .map((origin) => <Stamp key={origin}>{t.origin[origin]}</Stamp>);
}

function latest(tests: readonly TestRecord[]): TestRecord | undefined {
  return [...tests].sort(byTaken).at(-1);
}
