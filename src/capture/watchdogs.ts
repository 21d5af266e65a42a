/** What the capture machine cannot see in its samples: that none arrive, that the analysis failed, that the link is down. */
import { computed, effect, type ReadonlySignal } from '@preact/signals';
import type { AnalystHealth } from '../analysis/analyst.ts';
import type { Clock } from '../platform/ports.ts';
import { isTaking } from './capture-state.ts';
import { LONGEST_TAKE_S } from './machine-limits.ts';
import type { MachineRunner } from './machine-runner.ts';
import type { SampleFeed } from './sample-feed.ts';
import type { TakeWriter } from './take-writer.ts';

/** An open take ends after this long without samples. */
const GIVE_UP_MS = 30_000;
const WATCH_MS = 2_000;

export interface TakeWatch {
  readonly clock: Clock;
  readonly writer: Pick<TakeWriter, 'isOpen'>;
  readonly feed: Pick<SampleFeed, 'arrivedMs' | 'buffer'>;
  readonly machine: Pick<MachineRunner, 'state' | 'dispatch'>;
  readonly health: ReadonlySignal<AnalystHealth>;
}

/** Ends a forgotten take. Runs as long as the page. */
export function watchOpenTake(watched: TakeWatch): void {
  const { clock, writer, feed, machine, health } = watched;
  if (writer.isOpen.value && clock.nowMs() - feed.arrivedMs() > GIVE_UP_MS) {
    machine.dispatch({ type: 'source-ended' });
  }
  // The failed analysis cannot end a forgotten take, so a time limit does.
  const now = machine.state.peek();
  const isUnseen = isTaking(now) && health.peek() === 'failed';
  if (isUnseen && (feed.buffer.lastS ?? 0) - now.sinceS > LONGEST_TAKE_S) machine.dispatch({ type: 'stop' });
  clock.after(WATCH_MS, () => watchOpenTake(watched));
}

/** Announces a link that is lost, or a needle that is not seen, while armed, until it is back. */
export function announceLinkLoss(
  connection: SampleFeed['connection'],
  machine: Pick<MachineRunner, 'state' | 'announce' | 'withdraw'>,
): void {
  const isDown = computed(() => ['reconnecting', 'lost'].includes(connection.value.state));
  const isUnseen = computed(() => connection.value.state === 'silent' && connection.value.kind === 'camera');
  const announceWhile = (
    trouble: ReadonlySignal<boolean>,
    kind: 'link-lost' | 'needle-unseen',
  ): (() => void) =>
    effect(() => {
      if (trouble.value && machine.state.peek().armed) machine.announce({ kind });
      else machine.withdraw(kind);
    });
  announceWhile(isDown, 'link-lost');
  announceWhile(isUnseen, 'needle-unseen');
}
