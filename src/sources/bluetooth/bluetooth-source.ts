import type { SourceInfo } from '../../../worker/file/records.ts';
import type { Clock, Log } from '../../platform/ports.ts';
import type { LinkMaker } from '../device/link.ts';
import { openSession } from '../device/session.ts';
import { type SampleSink, type SampleSource, SourceProblem } from '../port.ts';
import type { GattDevice, GattPort } from './gatt-port.ts';
import { openLink } from './link.ts';
import { stepOf, toSourceProblem } from './problems.ts';
import { type BluetoothSettings, chooserRequest } from './settings.ts';

export interface BluetoothSourceDeps {
  /** `undefined` in a browser without Bluetooth. */
  readonly gatt: GattPort | undefined;
  readonly clock: Clock;
  readonly settings?: BluetoothSettings | undefined;
  /** Receives every problem, those of retried attempts included. Cancelling by the user is not logged. */
  readonly log?: Pick<Log, 'add'> | undefined;
}

/**
 * A pressure transducer over Bluetooth. The first `open` shows the browser's chooser, so it must be called within a user
 * gesture. Opened again, it connects to the same device without the chooser.
 */
export function createBluetoothSource(deps: BluetoothSourceDeps): SampleSource {
  const { gatt, clock, settings = {}, log } = deps;
  let device: GattDevice | undefined;

  function note(problem: SourceProblem): void {
    if (problem.code === 'cancelled') return;
    const step = stepOf(problem);
    log?.add(step === null ? 'bluetooth' : `bluetooth ${step}`, problem);
  }

  async function choose(port: GattPort, signal: AbortSignal): Promise<GattDevice> {
    try {
      return await untilAborted(port.choose(chooserRequest(settings)), signal);
    } catch (cause) {
      const problem = toSourceProblem(cause, 'choose');
      note(problem);
      throw problem;
    }
  }

  return {
    kind: 'bluetooth',
    async open(sink: SampleSink, signal: AbortSignal): Promise<SourceInfo> {
      if (gatt === undefined) throw new SourceProblem('no-bluetooth', 'This browser has no Web Bluetooth.');
      if (signal.aborted) throw new SourceProblem('cancelled', 'Stopped before it began.');
      device ??= await choose(gatt, signal);
      sink.status({ state: 'connecting' });
      try {
        const chosen = device;
        const maker: LinkMaker = {
          kind: 'bluetooth',
          device: chosen,
          name: chosen.name ?? 'Bluetooth sensor',
          open: async (listener) => {
            const link = await openLink(chosen, settings, clock, signal, listener);
            return {
              ...link,
              facts: { name: chosen.name ?? link.facts.model ?? 'Bluetooth sensor', ...link.facts },
            };
          },
        };
        return await openSession(maker, clock, sink, signal, note);
      } catch (cause) {
        // Not a usable transducer: the next `open` shows the chooser again.
        const code = cause instanceof SourceProblem ? cause.code : undefined;
        if (code === 'no-pressure-service' || code === 'unknown-layout') device = undefined;
        throw cause;
      }
    },
  };
}

/** Rejects when `signal` aborts. The chooser itself cannot be closed; its later result is ignored. */
function untilAborted<T>(work: Promise<T>, signal: AbortSignal): Promise<T> {
  return new Promise<T>((resolve, reject) => {
    const stop = (): void => reject(new SourceProblem('cancelled', 'Stopped while choosing.'));
    signal.addEventListener('abort', stop, { once: true });
    work.then(resolve, reject).finally(() => signal.removeEventListener('abort', stop));
  });
}
