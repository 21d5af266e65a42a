/** Loads the final readings of all tests of an engine. */
import { useEffect, useState } from 'preact/hooks';
import type { TestRecord } from '../../../worker/file/records.ts';
import { useModel } from '../../components/model.ts';
import type { EngineHistory } from './engine-history.ts';
import { type Finals, inBatches, readingOrder, type TestFinals } from './trend-tests.ts';

/** Minimum time between updates, ms: a calmer plot and less work on a phone. */
const SHOW_EVERY_MS = 300;

/** Readings are computed on each visit, so a long history takes time. Returns the results so far. */
export function useFinals({ engine, tests }: EngineHistory): Finals {
  const { library } = useModel();
  const [known, setKnown] = useState<readonly TestFinals[]>([]);
  useEffect(() => {
    let isWanted = true;
    const read = async (test: TestRecord): Promise<TestFinals> => ({
      test,
      finalsKpa: await library.finals(engine, test).catch(() => null),
    });
    const readAll = async () => {
      for await (const some of inBatches(readingOrder(tests), read, SHOW_EVERY_MS)) {
        if (!isWanted) return;
        setKnown(some);
      }
    };
    void readAll();
    return () => {
      isWanted = false;
    };
  }, [library, engine, tests]);
  return { known, waiting: Math.max(0, tests.length - known.length) };
}
