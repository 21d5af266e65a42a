import type { EngineRecord, TestRecord } from '../store/port.ts';
import { useReader } from './model.ts';
import { Stamp } from './pieces.tsx';

/** Whose test this is, above the heading of each chapter. */
export function EngineLine({ engine, test }: { engine: EngineRecord; test: TestRecord }) {
  const { t, day } = useReader();
  return (
    <>
      {engine.name}, {day(test.startedAt)}{' '}
      {test.origin !== 'measured' && <Stamp>{t.origin[test.origin]}</Stamp>}
    </>
  );
}
