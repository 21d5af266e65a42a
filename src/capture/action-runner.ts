import { type ReadonlySignal, signal } from '@preact/signals';
import type { TakeRecord } from '../../worker/file/records.ts';
import type { Analyst } from '../analysis/analyst.ts';
import { hoseOf, originOf, readingOptions, UNREAD } from '../analysis/reading-options.ts';
import type { TakeOrder } from '../library/take-order.ts';
import type { Clock } from '../platform/ports.ts';
import type { LiveAnalysis } from './live-analysis.ts';
import type { CaptureAction } from './machine-events.ts';
import type { MachineRunner } from './machine-runner.ts';
import type { Session, TakeResult } from './port.ts';
import type { SampleFeed } from './sample-feed.ts';
import type { TakeWriter } from './take-writer.ts';

export interface ActionRunnerOptions {
  readonly analyst: Pick<Analyst, 'read'>;
  readonly clock: Pick<Clock, 'wallTime'>;
  readonly order: Pick<TakeOrder, 'next'>;
  readonly session: ReadonlySignal<Session | null>;
  readonly feed: Pick<SampleFeed, 'buffer' | 'source' | 'moveHose'>;
  readonly writer: TakeWriter;
  readonly analysis: Pick<LiveAnalysis, 'restart' | 'close'>;
  readonly announce: MachineRunner['announce'];
  readonly dispatch: MachineRunner['dispatch'];
}

/** Carries out the actions of the capture machine. */
export interface ActionRunner {
  /** The last take finished since `clearResult`; `null` when there is none. */
  readonly result: ReadonlySignal<TakeResult | null>;
  clearResult(): void;
  carryOut(action: CaptureAction): void;
}

/** No result yet. */
export function createActionRunner(options: ActionRunnerOptions): ActionRunner {
  const { session, writer, feed } = options;
  const result = signal<TakeResult | null>(null);
  return {
    result,
    clearResult() {
      result.value = null;
    },
    carryOut(action) {
      switch (action.do) {
        case 'announce':
          options.announce(action.what);
          break;
        case 'move-hose':
          feed.moveHose(action.item);
          break;
        case 'analyse':
          analyse(options, action.fromS);
          break;
        case 'open-take':
          openTake(options, action);
          break;
        case 'relabel-take':
          writer.change(action.takeId, action.item);
          break;
        case 'set-aside':
          void writer.setAside(action.takeId, session.value?.test.id);
          break;
        case 'finish-take':
          void finishTake(options, action.takeId, (finished) => {
            result.value = finished;
          });
      }
    },
  };
}

function analyse({ session, feed, analysis }: ActionRunnerOptions, fromS: number): void {
  const at = session.value;
  const source = feed.source();
  if (!source || !at) {
    analysis.close();
    return;
  }
  const options = readingOptions(at.engine.facts, at.test.conditions, { hose: at.hose, source });
  analysis.restart(options, () => feed.buffer.slice(fromS));
}

function openTake(
  { session, feed, writer, clock, order }: ActionRunnerOptions,
  { takeId, item, fromS }: Extract<CaptureAction, { do: 'open-take' }>,
): void {
  const at = session.value;
  const source = feed.source();
  if (!source || !at) return;
  const take: TakeRecord = {
    id: takeId,
    testId: at.test.id,
    ...item,
    hose: hoseOf({ hose: at.hose, source }),
    origin: originOf(source.kind),
    source,
    startedAt: clock.wallTime(),
    order: order.next(),
    state: 'open',
  };
  writer.open(take, feed.buffer.slice(fromS), at);
}

async function finishTake(
  { session, writer, analyst, dispatch }: ActionRunnerOptions,
  takeId: string,
  onResult: (result: TakeResult) => void,
): Promise<void> {
  const at = session.value;
  const finished = writer.finish(takeId);
  if (!at || !finished) return;
  const options = readingOptions(at.engine.facts, at.test.conditions, finished.take);
  const reading = analyst.read(finished.trace, options).catch(() => UNREAD);
  await finished.written;
  onResult({ take: finished.take, reading: await reading });
  dispatch({ type: 'stored', takeId, reading: await reading });
}
