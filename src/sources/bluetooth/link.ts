import { CHARACTERISTICS } from '../../../worker/wire/uuids.ts';
import type { Clock } from '../../platform/ports.ts';
import type { Link, LinkListener } from '../device/link.ts';
import { SourceProblem } from '../port.ts';
import { batteryPercent, findCharacteristic, readDeviceFacts } from './device-facts.ts';
import { discover, type FoundService, findPressure } from './find-pressure.ts';
import type { GattDevice } from './gatt-port.ts';
import { createGattQueue, type GattQueue } from './gatt-queue.ts';
import type { BluetoothSettings } from './settings.ts';

const CONNECT_MS = 8000;
const SUBSCRIBE_MS = 5000;
const BATTERY_MS = 3000;

/**
 * Connects, finds the pressure characteristic and subscribes to it. Rejects with a `SourceProblem` after disconnecting.
 * `lost` and `notification` may be called before this resolves.
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
  /** `connect` has resolved. */
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
      // Before this link is up, or while it is still connected, the event belongs to an earlier link.
      if (!open || !up || device.connected()) return;
      close(new SourceProblem('link-lost', 'The link was lost.'));
      listener.lost();
    }),
  );

  try {
    if (signal.aborted) stop();
    await queue.run('connect', CONNECT_MS, () => device.connect());
    up = true;
    if (!device.connected())
      throw new SourceProblem('link-lost', 'The link was lost as soon as it was made.');
    const services = await discover(device, queue);
    const outlet = await findPressure(services, settings, queue);
    const facts = await readDeviceFacts(services, queue);
    const unsubscribe = await queue.run('subscribe', SUBSCRIBE_MS, () =>
      outlet.characteristic.subscribe((bytes) => {
        if (open) listener.notification(bytes);
      }),
    );
    undo.push(unsubscribe);
    void followBattery(services, queue, (percent) => open && listener.battery(percent), undo);
    const { layout, range } = outlet;
    return { layout, range, facts, close: stop };
  } catch (cause) {
    const problem =
      cause instanceof SourceProblem ? cause : new SourceProblem('unexpected', String(cause), { cause });
    close(problem);
    throw problem;
  }
}

/** Reports the battery level where the device has one. Optional: never rejects. */
async function followBattery(
  services: readonly FoundService[],
  queue: GattQueue,
  onPercent: (percent: number) => void,
  undo: (() => void)[],
): Promise<void> {
  const characteristic = findCharacteristic(services, CHARACTERISTICS.batteryLevel);
  const report = (bytes: DataView): void => {
    const percent = batteryPercent(bytes);
    if (percent !== undefined) onPercent(percent);
  };
  try {
    if (characteristic?.readable === true) {
      report(await queue.run('read', BATTERY_MS, () => characteristic.read()));
    }
    if (characteristic?.notifies === true) {
      undo.push(await queue.run('subscribe', BATTERY_MS, () => characteristic.subscribe(report)));
    }
  } catch {
    // The stream works without it.
  }
}
