import type { SourceInfo } from '../../../worker/file/records.ts';
import { CHARACTERISTICS } from '../../../worker/wire/uuids.ts';
import type { FoundService } from './find-pressure.ts';
import type { GattCharacteristic } from './gatt-port.ts';
import type { GattQueue } from './gatt-queue.ts';

/** Facts from the Device Information service. */
export type DeviceFacts = Pick<SourceInfo, 'manufacturer' | 'model' | 'serial' | 'firmware'>;

const READ_MS = 1500;
const LONGEST = 60;

const FIELDS = [
  ['manufacturer', CHARACTERISTICS.manufacturerName],
  ['model', CHARACTERISTICS.modelNumber],
  ['serial', CHARACTERISTICS.serialNumber],
  ['firmware', CHARACTERISTICS.firmwareRevision],
] as const;

/** First characteristic with this UUID (long form); `undefined` when there is none. */
export function findCharacteristic(
  services: readonly FoundService[],
  uuid: string,
): GattCharacteristic | undefined {
  return services.flatMap((service) => service.characteristics).find((c) => c.uuid === uuid);
}

/** Optional facts: unreadable ones are left out, and the first error ends the reading. Never rejects. */
export async function readDeviceFacts(
  services: readonly FoundService[],
  queue: GattQueue,
): Promise<DeviceFacts> {
  const facts: Record<string, string> = {};
  try {
    for (const [field, uuid] of FIELDS) {
      const characteristic = findCharacteristic(services, uuid);
      if (characteristic?.readable !== true) continue;
      const text = plainText(await queue.run('read', READ_MS, () => characteristic.read()));
      if (text !== '') facts[field] = text;
    }
  } catch {
    // The facts are optional; the stream works without them.
  }
  return facts;
}

/** 0 to 100; `undefined` when the bytes are not one percentage. */
export function batteryPercent(bytes: DataView): number | undefined {
  const percent = bytes.byteLength === 1 ? bytes.getUint8(0) : 255;
  return percent <= 100 ? percent : undefined;
}

/** UTF-8 without control characters, cut to a length that fits a line. */
function plainText(bytes: DataView): string {
  const text = new TextDecoder().decode(bytes);
  return text.replace(/\p{C}/gu, '').trim().slice(0, LONGEST);
}
