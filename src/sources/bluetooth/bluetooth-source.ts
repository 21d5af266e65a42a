import type { Clock, Log } from '../../platform/ports.ts';
import { type SampleSink, type SampleSource, type SourceInfo, SourceProblem } from '../port.ts';
import type { GattDevice, GattPort } from './gatt-port.ts';
import { stepOf, toSourceProblem } from './problems.ts';
import { openSession } from './session.ts';
import { type BluetoothSettings, chooserRequest } from './settings.ts';

export interface BluetoothSourceDeps {
  /** `undefined` in a browser without Bluetooth. */
  readonly gatt: GattPort | undefined;
  readonly clock: Clock;
  readonly settings?: BluetoothSettings | undefined;
  /** Told of what goes wrong, tries that are made again included; not of what the person ends. */
  readonly log?: Pick<Log, 'add'> | undefined;
}

/**
 * A pressure transducer over Bluetooth. `open` shows the browser's chooser before it does anything else, so it must
 * be called while a press is being handled; opened again, it connects to the same device without asking.
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
        return await openSession(device, settings, clock, sink, signal, note);
      } catch (cause) {
        // No transducer after all: next time the person chooses anew.
        const code = cause instanceof SourceProblem ? cause.code : undefined;
        if (code === 'no-pressure-service' || code === 'unknown-layout') device = undefined;
        throw cause;
      }
    },
  };
}

/** The chooser can not be closed from here; what comes of it later is left alone. */
function untilAborted<T>(work: Promise<T>, signal: AbortSignal): Promise<T> {
  return new Promise<T>((resolve, reject) => {
    const stop = (): void => reject(new SourceProblem('cancelled', 'Stopped while choosing.'));
    signal.addEventListener('abort', stop, { once: true });
    work.then(resolve, reject).finally(() => signal.removeEventListener('abort', stop));
  });
}
