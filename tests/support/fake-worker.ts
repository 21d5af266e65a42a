/** The real analysis behind a real message channel, as a worker that can be killed, hung or kept from starting. */
import { expose } from 'comlink';
import type { WorkerLike } from '../../src/analysis/worker-host.ts';
import { createAnalysis } from '../../worker/analysis.ts';
import type { AnalysisApi } from '../../worker/api.ts';

/** Starts workers and makes the newest of them fail. */
export interface FakeWorkers {
  spawn(): WorkerLike;
  /** Number of workers ever started. */
  readonly started: number;
  readonly terminated: number;
  /** The running worker accepts messages but never answers again. */
  hang(): void;
  /** The running worker fires an error event, as when its script throws while loading. */
  fail(): void;
  /** From now on, new workers never complete the handshake. */
  neverStarts: boolean;
  closeAll(): void;
}

/** `make` creates the analysis of each worker. */
export function fakeWorkers(make: () => AnalysisApi = createAnalysis): FakeWorkers {
  const channels: { channel: MessageChannel; events: EventTarget }[] = [];
  let terminated = 0;
  const fake: FakeWorkers = {
    neverStarts: false,
    get started() {
      return channels.length;
    },
    get terminated() {
      return terminated;
    },
    spawn() {
      const channel = new MessageChannel();
      const events = new EventTarget();
      channels.push({ channel, events });
      if (!fake.neverStarts) expose(make(), channel.port1 as unknown as Parameters<typeof expose>[1]);
      const { port2 } = channel;
      return {
        postMessage: (message: unknown, transfer?: Transferable[]) =>
          port2.postMessage(message, transfer ?? []),
        addEventListener: (type: string, listener: EventListenerOrEventListenerObject) =>
          (type === 'message' ? port2 : events).addEventListener(type, listener),
        removeEventListener: (type: string, listener: EventListenerOrEventListenerObject) =>
          (type === 'message' ? port2 : events).removeEventListener(type, listener),
        start: () => port2.start(),
        terminate() {
          terminated++;
          channel.port1.close();
          port2.close();
        },
      };
    },
    hang: () => channels.at(-1)!.channel.port1.close(),
    fail: () => channels.at(-1)!.events.dispatchEvent(new Event('error')),
    closeAll() {
      for (const { channel } of channels) {
        channel.port1.close();
        channel.port2.close();
      }
    },
  };
  return fake;
}
