import { CHARACTERISTICS } from '../../../worker/wire/uuids.ts';
import type { Clock } from '../../platform/ports.ts';
import { SourceProblem } from '../port.ts';
import { batteryPercent, type DeviceFacts, findCharacteristic, readDeviceFacts } from './device-facts.ts';
import { discover, type FoundService, findPressure, type PressureOutlet } from './find-pressure.ts';
import type { GattDevice } from './gatt-port.ts';
import { createGattQueue, type GattQueue } from './gatt-queue.ts';
import type { BluetoothSettings } from './settings.ts';

/** One connection, from `connect` to its end. Nothing of it is used for the next one. */
export interface Link {
  readonly outlet: PressureOutlet;
  readonly facts: DeviceFacts;
  /** Lets go of everything; never throws, may be called again. Nothing is heard afterwards. */
  close(): void;
}

export interface LinkListener {
  /** One notification, with bytes of its own. */
  heard(bytes: DataView): void;
  battery(percent: number): void;
  /** The link was lost, and `close` not called. Once at most. */
  lost(): void;
}

const CONNECT_MS = 8000;
const SUBSCRIBE_MS = 5000;
const BATTERY_MS = 3000;

/**
 * Connects, finds the pressures and listens to them. Rejects with a `SourceProblem` after letting go of the link.
 * `lost` and `heard` may be called before this resolves.
 */
export async function openLink(
  device: GattDevice,
  settings: BluetoothSettings,
  clock: Clock,
  signal: AbortSignal,
  listener: LinkListener,
): Promise<Link> {
  const queue = createGattQueue(clock);
  const undo: (() => void)[] = [];
  let open = true;
  /** The radio has said that the link stands. */
  let up = false;

  function close(problem: SourceProblem): void {
    if (!open) return;
    open = false;
    queue.close(problem);
    for (const step of undo.reverse()) step();
    device.disconnect();
  }

  const stop = (): void => close(new SourceProblem('cancelled', 'Stopped by the person.'));
  signal.addEventListener('abort', stop);
  undo.push(() => signal.removeEventListener('abort', stop));
  undo.push(
    device.onDisconnected(() => {
      // While this link is not up yet, or still stands, that is a late word of an earlier one.
      if (!open || !up || device.connected()) return;
      close(new SourceProblem('link-lost', 'The link was lost.'));
      listener.lost();
    }),
  );

  try {
    if (signal.aborted) stop();
    await queue.run('connect', CONNECT_MS, () => device.connect());
    up = true;
    if (!device.connected()) throw new SourceProblem('link-lost', 'The link was lost as soon as it stood.');
    const services = await discover(device, queue);
    const outlet = await findPressure(services, settings, queue);
    const facts = await readDeviceFacts(services, queue);
    const unsubscribe = await queue.run('subscribe', SUBSCRIBE_MS, () =>
      outlet.characteristic.subscribe((bytes) => {
        if (open) listener.heard(bytes);
      }),
    );
    undo.push(unsubscribe);
    void followBattery(services, queue, (percent) => open && listener.battery(percent), undo);
    return { outlet, facts, close: stop };
  } catch (cause) {
    const problem =
      cause instanceof SourceProblem ? cause : new SourceProblem('unexpected', String(cause), { cause });
    close(problem);
    throw problem;
  }
}

/** Nice to have: a device without a battery, or one that keeps it to itself, is as good. */
async function followBattery(
  services: readonly FoundService[],
  queue: GattQueue,
  heard: (percent: number) => void,
  undo: (() => void)[],
): Promise<void> {
  const characteristic = findCharacteristic(services, CHARACTERISTICS.batteryLevel);
  const tell = (bytes: DataView): void => {
    const percent = batteryPercent(bytes);
    if (percent !== undefined) heard(percent);
  };
  try {
    if (characteristic?.readable === true) {
      tell(await queue.run('read', BATTERY_MS, () => characteristic.read()));
    }
    if (characteristic?.notifies === true) {
      undo.push(await queue.run('subscribe', BATTERY_MS, () => characteristic.subscribe(tell)));
    }
  } catch {
    // The stream goes on without it.
  }
}
