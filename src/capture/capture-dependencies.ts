import type { SourceInfo } from '../../worker/file/records.ts';
import type { Analyst } from '../analysis/analyst.ts';
import type { TakeOrder } from '../library/take-order.ts';
import type { Clock, FrameScheduler, KeepAwake, KeyValueStorage, Locks } from '../platform/ports.ts';
import type { SampleSource } from '../sources/port.ts';
import type { SimulatorControls, SourceChoice } from '../sources/source-choice.ts';
import type { JournalStore, TakeBranch, TestStore } from '../store/port.ts';

export interface CaptureDependencies {
  readonly store: TestStore;
  /** Second journal of each take, apart from the database. */
  readonly copyOf?: ((branch: TakeBranch) => JournalStore) | undefined;
  readonly analyst: Analyst;
  readonly clock: Clock;
  readonly frames: FrameScheduler;
  readonly keepAwake: KeepAwake;
  readonly locks: Locks;
  readonly newId: () => string;
  readonly order: Pick<TakeOrder, 'next'>;
  /** Keeps the connection log across visits. */
  readonly storage?: KeyValueStorage;
  openSource(choice: SourceChoice): Promise<{ source: SampleSource; controls?: SimulatorControls }>;
  /** Adds what the user stated of a source to what it says of itself. */
  describe?(info: SourceInfo): SourceInfo;
  /** Called after a take of the test was added or changed. */
  takesChanged(testId: string): void;
}
