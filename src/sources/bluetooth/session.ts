import { createStreamDecoder, layoutName, type StreamDecoder } from '../../../worker/wire/stream-decoder.ts';
import type { TimelineEvent } from '../../../worker/wire/timeline.ts';
import type { Clock } from '../../platform/ports.ts';
import { type EndReason, type SampleSink, type SourceInfo, SourceProblem } from '../port.ts';
import type { GattDevice } from './gatt-port.ts';
import { type Link, openLink } from './link.ts';
import type { BluetoothSettings } from './settings.ts';
import { createWatch } from './watch.ts';

const TICK_MS = 50;

/**
 * Minimum delay between disconnect and reconnect. Adapters that are asked earlier return the stale link. Doubled after each
 * failed attempt.
 */
const RELEASE_MS = 600;
const LONGEST_WAIT_MS = 4000;

/** Limits for the first connection, while the user waits. Reconnecting may take longer, because a capture depends on it. */
const FIRST_TRIES = 3;
const FIRST_TRIES_MS = 12_000;
const RECONNECT_MS = 120_000;

/** Time of each device's last disconnect, by the clock of its session. */
const releasedMs = new WeakMap<GattDevice, number>();

/**
 * Streams from a chosen device until the end, through any number of links, with one decoder and one clock. Follows the
 * contract of `SampleSource.open`. `note`: called for every problem, those of retried attempts included.
 */
export async function openSession(
  device: GattDevice,
  settings: BluetoothSettings,
  clock: Clock,
  sink: SampleSink,
  signal: AbortSignal,
  note: (problem: SourceProblem) => void = () => {},
): Promise<SourceInfo> {
  const startMs = clock.nowMs();
  const secondsAt = (ms: number): number => (ms - startMs) / 1000;
  const watch = createWatch();
  let decoder: StreamDecoder | undefined;
  /** Notifications not yet decoded. Those received before the session is open wait for the first tick. */
  let pending: { readonly bytes: DataView; readonly arrivedMs: number }[] = [];
  let link: Link | undefined;
  let layout = '';
  /** No further links or ticks. */
  let over = false;
  /** The last event was sent; the sink receives nothing else. */
  let ended = false;
  let stopTicking = (): void => {};

  function emit(events: readonly TimelineEvent[], arrivedMs: number): void {
    for (const event of events) {
      // The sink may stop the session during a call.
      if (ended) return;
      if (event.kind === 'gap') {
        sink.gap(event.gap);
      } else {
        watch.samples(event.block.timeS.length, arrivedMs);
        sink.block(event.block, arrivedMs);
      }
    }
  }

  function onNotification(bytes: DataView): void {
    const arrivedMs = clock.nowMs();
    watch.notification(arrivedMs);
    pending.push({ bytes, arrivedMs });
    decodePending();
  }

  function decodePending(): void {
    if (decoder === undefined) return;
    const waiting = pending;
    pending = [];
    for (const { bytes, arrivedMs } of waiting) emit(decoder.push(bytes, secondsAt(arrivedMs)), arrivedMs);
  }

  function end(reason: EndReason): void {
    if (over) return;
    over = true;
    stopTicking();
    signal.removeEventListener('abort', stop);
    link?.close();
    releasedMs.set(device, clock.nowMs());
    decodePending();
    if (decoder !== undefined) emit(decoder.linkLost(), clock.nowMs());
    ended = true;
    sink.ended(reason);
  }

  const stop = (): void => end({ kind: 'stopped' });

  function tick(): void {
    const nowMs = clock.nowMs();
    decodePending();
    if (decoder !== undefined) emit(decoder.tick(secondsAt(nowMs)), nowMs);
    if (over) return;
    if (watch.unreadable(decoder?.counts(), nowMs)) {
      const why = decoder?.lastProblem()?.detail ?? 'Nothing that came could be read.';
      const problem = new SourceProblem('unknown-layout', why);
      note(problem);
      end({ kind: 'lost', problem });
      return;
    }
    if (link !== undefined) {
      const status = watch.status(nowMs, decoder?.counts());
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
    pending = [];
    try {
      const opened = await openLink(device, settings, clock, signal, {
        notification: onNotification,
        battery: (percent) => watch.battery(percent),
        lost() {
          lostEarly = true;
          if (link !== undefined) void reconnect();
        },
      });
      if (lostEarly) throw new SourceProblem('link-lost', 'The link was lost as soon as it stood.');
      const name = JSON.stringify(opened.outlet.layout);
      if (decoder === undefined) {
        layout = name;
        decoder = createStreamDecoder(opened.outlet.layout, opened.outlet.range);
      } else if (name !== layout) {
        opened.close();
        throw new SourceProblem('unknown-layout', 'The sensor came back with another layout.');
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
    decodePending();
    if (decoder !== undefined) emit(decoder.linkLost(), lostMs);
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
        await pause(clock, Math.min(LONGEST_WAIT_MS, RELEASE_MS * 2 ** (attempt - 1)), signal).catch(
          () => undefined,
        );
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
  const { outlet, facts } = link;
  return {
    kind: 'bluetooth',
    name: device.name ?? facts.model ?? 'Bluetooth sensor',
    ...facts,
    layout: layoutName(outlet.layout),
    sensorMaxKpa: outlet.range?.maxKpa,
  };
}

async function connectAtFirst(connect: () => Promise<Link>, clock: Clock, startMs: number): Promise<Link> {
  for (let attempt = 1; ; attempt++) {
    try {
      return await connect();
    } catch (cause) {
      const problem = asProblem(cause);
      const enough = attempt >= FIRST_TRIES || clock.nowMs() - startMs > FIRST_TRIES_MS;
      if (enough || !worthAnotherTry(problem)) throw problem;
    }
  }
}

/** Whether the first connection is retried. Adapters drop new links at random, but a device that refuses keeps refusing. */
function worthAnotherTry(problem: SourceProblem): boolean {
  return ['link-lost', 'out-of-range', 'timed-out', 'bluetooth-off', 'unexpected'].includes(problem.code);
}

/** Whether reconnecting continues. The device worked before, so most errors of the adapter are taken as temporary. */
function mayComeBack(problem: SourceProblem): boolean {
  return problem.code !== 'not-allowed' && problem.code !== 'unknown-layout';
}

function asProblem(cause: unknown): SourceProblem {
  return cause instanceof SourceProblem ? cause : new SourceProblem('unexpected', String(cause), { cause });
}

/** Waits. Rejects with `cancelled` when `signal` aborts. */
function pause(clock: Clock, ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve, reject) => {
    const stop = (): void => {
      cancel();
      reject(new SourceProblem('cancelled', 'Stopped while waiting.'));
    };
    const cancel = clock.after(ms, () => {
      signal.removeEventListener('abort', stop);
      resolve();
    });
    if (signal.aborted) stop();
    else signal.addEventListener('abort', stop, { once: true });
  });
}
