import { NUMERIC_FORMATS } from '../../../worker/wire/numeric-format.ts';
import {
  describesPressure,
  KPA_PER_UNIT,
  type PresentationFormat,
  parsePresentationFormat,
  rawToKpa,
  TEXT_FORMAT,
} from '../../../worker/wire/presentation-format.ts';
import type { SensorRange, StreamLayout } from '../../../worker/wire/stream-decoder.ts';
import { CHARACTERISTICS, DESCRIPTORS, SERVICES } from '../../../worker/wire/uuids.ts';
import { SourceProblem } from '../port.ts';
import type { GattCharacteristic, GattDevice, GattService } from './gatt-port.ts';
import type { GattQueue } from './gatt-queue.ts';
import type { BluetoothSettings } from './settings.ts';

/** The characteristic that sends pressures, their layout, and the sensor's range if known. */
export interface PressureOutlet {
  readonly characteristic: GattCharacteristic;
  readonly layout: StreamLayout;
  readonly range?: SensorRange | undefined;
}

/** A service with its characteristics. */
export interface FoundService {
  readonly uuid: string;
  readonly characteristics: readonly GattCharacteristic[];
}

const DISCOVER_MS = 10_000;
const READ_MS = 3000;

/** Notifying characteristics that are known not to be pressures. */
const NOT_PRESSURE: ReadonlySet<string> = new Set([SERVICES.battery, SERVICES.deviceInformation]);

const TEXT_CHARACTERISTICS: readonly string[] = [
  CHARACTERISTICS.strokebookText,
  CHARACTERISTICS.serialPortOut,
  CHARACTERISTICS.serialModuleData,
];

/** All services and characteristics that the page may use. Rejects with a `SourceProblem`. */
export async function discover(device: GattDevice, queue: GattQueue): Promise<readonly FoundService[]> {
  const services = await queue.run('discover', DISCOVER_MS, () => device.services());
  const found: FoundService[] = [];
  for (const service of services) {
    found.push({ uuid: service.uuid, characteristics: await characteristicsOf(service, queue) });
  }
  return found;
}

async function characteristicsOf(
  service: GattService,
  queue: GattQueue,
): Promise<readonly GattCharacteristic[]> {
  try {
    return await queue.run('discover', DISCOVER_MS, () => service.characteristics());
  } catch (cause) {
    // An empty service, or one that the browser blocks, has no usable pressure.
    if (
      cause instanceof SourceProblem &&
      (cause.code === 'no-pressure-service' || cause.code === 'not-allowed')
    ) {
      return [];
    }
    throw cause;
  }
}

/**
 * The best characteristic for pressures. Order: the user's layout; the packed stream, because it has a clock; a
 * characteristic that describes itself as a pressure; Environmental Sensing; text. Rejects with `no-pressure-service`
 * when no characteristic notifies, and with `unknown-layout` when none that notifies is known to be a pressure.
 */
export async function findPressure(
  services: readonly FoundService[],
  settings: BluetoothSettings,
  queue: GattQueue,
): Promise<PressureOutlet> {
  const all = services
    .filter((service) => !NOT_PRESSURE.has(service.uuid))
    .flatMap((service) =>
      service.characteristics.map((characteristic) => ({ service: service.uuid, characteristic })),
    )
    .filter(({ characteristic }) => characteristic.notifies);
  const byUuid = (uuid: string): GattCharacteristic | undefined =>
    all.find(({ characteristic }) => characteristic.uuid === uuid)?.characteristic;

  const custom = settings.layout;
  if (custom !== undefined) {
    const characteristic = all.find(
      (c) => c.service === custom.service && c.characteristic.uuid === custom.characteristic,
    )?.characteristic;
    if (characteristic !== undefined) return { characteristic, layout: { kind: 'custom', layout: custom } };
  }

  const packed = byUuid(CHARACTERISTICS.strokebookPacked);
  if (packed !== undefined) {
    const format = await readFormat(packed, queue);
    if (format !== undefined && KPA_PER_UNIT.has(format.unit)) {
      return {
        characteristic: packed,
        layout: { kind: 'packed', format },
        range: await readRange(packed, format, queue),
      };
    }
  }

  const environmental = byUuid(CHARACTERISTICS.pressure);
  const named = settings.characteristic === undefined ? undefined : byUuid(settings.characteristic);
  const candidates = named !== undefined ? [named] : all.map((c) => c.characteristic);
  const texts: PressureOutlet[] = [];
  for (const characteristic of candidates) {
    if (characteristic === environmental || characteristic === packed) continue;
    const format = await readFormat(characteristic, queue);
    if (format !== undefined && describesPressure(format)) {
      const range = await readRange(characteristic, format, queue);
      return { characteristic, layout: { kind: 'described', format }, range };
    }
    if (
      format?.format === TEXT_FORMAT ||
      TEXT_CHARACTERISTICS.includes(characteristic.uuid) ||
      characteristic === named
    ) {
      const kpaPerUnit = (format && KPA_PER_UNIT.get(format.unit)) ?? settings.textKpaPerUnit;
      texts.push({ characteristic, layout: { kind: 'text', kpaPerUnit } });
    }
  }
  if (environmental !== undefined)
    return { characteristic: environmental, layout: { kind: 'environmental' } };
  if (texts[0] !== undefined) return texts[0];
  throw candidates.length === 0
    ? new SourceProblem('no-pressure-service', 'The device offers nothing that notifies.')
    : new SourceProblem('unknown-layout', 'The device notifies, but nothing says that it is a pressure.');
}

/** `undefined` when the descriptor is missing or cannot be read. Rejects only after a lost link or a timeout. */
async function readDescriptor(
  characteristic: GattCharacteristic,
  uuid: string,
  queue: GattQueue,
): Promise<DataView | undefined> {
  try {
    return await queue.run('read', READ_MS, () => characteristic.readDescriptor(uuid));
  } catch (cause) {
    if (cause instanceof SourceProblem && (cause.code === 'link-lost' || cause.code === 'timed-out'))
      throw cause;
    return undefined;
  }
}

async function readFormat(
  characteristic: GattCharacteristic,
  queue: GattQueue,
): Promise<PresentationFormat | undefined> {
  const bytes = await readDescriptor(characteristic, DESCRIPTORS.presentationFormat, queue);
  const format = bytes === undefined ? undefined : parsePresentationFormat(bytes);
  return format?.ok === true ? format.value : undefined;
}

/** Valid Range, 0x2906: the lowest and the highest value in the characteristic's own format. `undefined` when invalid. */
async function readRange(
  characteristic: GattCharacteristic,
  format: PresentationFormat,
  queue: GattQueue,
): Promise<SensorRange | undefined> {
  const bytes = await readDescriptor(characteristic, DESCRIPTORS.validRange, queue);
  const numeric = NUMERIC_FORMATS.get(format.format);
  if (bytes === undefined || numeric === undefined || bytes.byteLength !== 2 * numeric.size) return undefined;
  const minKpa = rawToKpa(numeric.read(bytes, 0, true), format) ?? Number.NaN;
  const maxKpa = rawToKpa(numeric.read(bytes, numeric.size, true), format) ?? Number.NaN;
  return minKpa < maxKpa && Number.isFinite(maxKpa - minKpa) ? { minKpa, maxKpa } : undefined;
}
