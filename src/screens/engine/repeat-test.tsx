import { useLocation } from 'preact-iso';
import type { EngineRecord, TestRecord } from '../../../worker/file/records.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import { newTest } from '../compression-test/new-records.ts';

interface RepeatTestProps {
  engine: EngineRecord;
  /** Tests of the engine; safety answers of the newest are reused. */
  tests: readonly TestRecord[];
}

/** Starts another test of a known engine at once, or by way of its form. */
export function RepeatTest({ engine, tests }: RepeatTestProps) {
  const { library, settings } = useModel();
  const { t } = useReader();
  const { route } = useLocation();
  const trouble = useTrouble();
  const start = async () => {
    // Only a simulated engine keeps its origin: a real one is measured now, also if it came from a file.
    const origin = engine.origin === 'simulated' ? 'simulated' : 'measured';
    const test = newTest(engine, settings.values.peek().rule, origin, tests);
    const saved = await trouble.attempt(library.saveTest(test).then(() => true));
    if (saved) route(`tests/${test.id}/prepare`);
  };
  return (
    <>
      <Button kind="main" onClick={() => void start()}>
        {t.repeat.again}
      </Button>
      <a class="button" href={`new?engine=${engine.id}`}>
        {t.repeat.otherWay}
      </a>
    </>
  );
}
