import { useEffect, useState } from 'preact/hooks';
import type { LoadedTest } from '../library/library.ts';
import { type AsyncState, LOADING } from '../store/async-state.ts';
import { useModel } from './model.ts';

/**
 * A test, loaded and kept up to date while `isWanted`. After that the last state stays and nothing is computed.
 * `testId` must not change while the component is mounted.
 */
export function useTest(testId: string, isWanted: boolean): AsyncState<LoadedTest> {
  const { library } = useModel();
  const [resource, setResource] = useState<AsyncState<LoadedTest>>(LOADING);
  useEffect(
    () => (isWanted ? library.test(testId).subscribe(setResource) : undefined),
    [library, testId, isWanted],
  );
  return resource;
}
