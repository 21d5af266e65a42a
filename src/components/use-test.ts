import { useEffect, useState } from 'preact/hooks';
import type { LoadedTest } from '../library/library.ts';
import { type AsyncState, LOADING } from '../store/async-state.ts';
import { useModel } from './model.ts';

/**
 * A test while it is wanted, and afterwards as it was then: a row that has left the window keeps what it shows, and
 * nothing is loaded or computed for it. One test as long as the component lives.
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
