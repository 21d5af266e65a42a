import type { SourceInfo } from '../../../worker/file/records.ts';
import { layoutName } from '../../../worker/wire/stream-decoder.ts';
import type { Clock } from '../../platform/ports.ts';
import { type EndReason, type SampleSink, SourceProblem } from '../port.ts';
import type { Link, LinkMaker } from './link.ts';
import { createReceiver } from './receiver.ts';
import {
  asProblem,
  connectAtFirst,
  mayComeBack,
  pause,
  RECONNECT_MS,
  RELEASE_MS,
  reconnectDelayMs,
} from './retry-policy.ts';
import { createWatch } from './watch.ts';

const TICK_MS = 50;

/** Time of each device's last disconnect, by the clock of its session. */
const releasedMs = new WeakMap<object, number>();

/**
 * Streams from a chosen device, over the radio or by cable, until the end, through any number of links, with one decoder and one clock. Follows the
 * contract of `SampleSource.open`. `note`: called for every problem, those of retried attempts included.
 */
export async function openSession(
  maker: LinkMaker,
  clock: Clock,
  sink: SampleSink,
  signal: AbortSignal,
  note: (problem: SourceProblem) => void = () => {},
): Promise<SourceInfo> {
  const { device } = maker;
  const startMs = clock.nowMs();
  const watch = createWatch();
  const receiver = createReceiver(sink, watch, clock.nowMs);
  let link: Link | undefined;
  /** No further links or ticks. */
  let over = false;
  let stopTicking = (): void => {};

  function end(reason: EndReason): void {
    if (over) return;
    over = true;
    stopTicking();
    signal.removeEventListener('abort', stop);
    link?.close();
    releasedMs.set(device, clock.nowMs());
    receiver.linkLost(clock.nowMs());
    receiver.end();
    sink.ended(reason);
  }

  const stop = (): void => end({ kind: 'stopped' });

  function tick(): void {
    const nowMs = clock.nowMs();
    receiver.tick(nowMs);
    if (over) return;
    if (watch.unreadable(receiver.counts(), nowMs)) {
      const why = receiver.lastProblem() ?? 'Nothing that came could be read.';
      const problem = new SourceProblem('unknown-layout', why);
      note(problem);
      end({ kind: 'lost', problem });
      return;
    }
    if (link !== undefined) {
      const status = watch.status(nowMs, receiver.counts());
      if (status !== undefined) sink.status(status);
      if (over) return;
      if (watch.deadLink(nowMs)) {
        link.close();
        void reconnect();
      }
    }
    stopTicking = clock.after(TICK_MS, tick);
  }

  async function connect(): Promise<Link> {
    const sinceMs = clock.nowMs() - (releasedMs.get(device) ?? Number.NEGATIVE_INFINITY);
    if (sinceMs < RELEASE_MS) await pause(clock, RELEASE_MS - sinceMs, signal);
    let lostEarly = false;
    receiver.discardPending();
    try {
      const opened = await maker.open({
        notification: receiver.onNotification,
        battery: (percent) => watch.battery(percent),
        lost() {
          lostEarly = true;
          if (link !== undefined) void reconnect();
        },
      });
      if (lostEarly) throw new SourceProblem('link-lost', 'The link was lost as soon as it was made.');
      try {
        receiver.setLayout(opened.layout, opened.range);
      } catch (cause) {
        opened.close();
        throw cause;
      }
      watch.linkUp(clock.nowMs());
      return opened;
    } catch (cause) {
      releasedMs.set(device, clock.nowMs());
      note(asProblem(cause));
      throw cause;
    }
  }

  async function reconnect(): Promise<void> {
    link = undefined;
    note(new SourceProblem('link-lost', 'The link was lost.'));
    const lostMs = clock.nowMs();
    releasedMs.set(device, lostMs);
    receiver.linkLost(lostMs);
    for (let attempt = 1; !over; attempt++) {
      sink.status({ state: 'reconnecting', attempt });
      try {
        link = await connect();
        return;
      } catch (cause) {
        if (over) return;
        const problem = asProblem(cause);
        if (!mayComeBack(problem) || clock.nowMs() - lostMs > RECONNECT_MS) {
          end({ kind: 'lost', problem });
          return;
        }
        await pause(clock, reconnectDelayMs(attempt), signal, maker.onReturned).catch(() => undefined);
      }
    }
  }

  link = await connectAtFirst(connect, clock, startMs);
  if (signal.aborted) {
    link.close();
    throw new SourceProblem('cancelled', 'Stopped while connecting.');
  }
  signal.addEventListener('abort', stop);
  stopTicking = clock.after(0, tick);
  const { layout, range, facts } = link;
  const custom = layout.kind === 'custom' ? layout.layout : undefined;
  const sensorMaxKpa = range?.maxKpa ?? custom?.maxKpa;
  const classPercent = custom?.classPercent;
  return {
    name: maker.name,
    ...facts,
    kind: maker.kind,
    layout: layoutName(layout),
    sensorMaxKpa,
    ...(classPercent !== undefined &&
      sensorMaxKpa !== undefined && { accuracy: { classPercent, rangeKpa: sensorMaxKpa } }),
  };
}
