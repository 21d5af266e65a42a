import type { KeyValueStorage } from '../../platform/ports.ts';
import type { PortIds } from './web-serial.ts';

/** A device that sent pressures over a cable, with the rate that was found. */
export interface RememberedCable extends PortIds {
  readonly baudRate: number;
  /** Name of the layout, for the log. */
  readonly layout: string;
  /** When it was last used, ISO 8601. */
  readonly usedAt: string;
}

const KEY = 'strokebook-cables';
/** The oldest go first. */
const MOST = 20;

/** Devices used before, newest first. Entries of another form are left out. */
export function rememberedCables(storage: KeyValueStorage): readonly RememberedCable[] {
  try {
    const list: unknown = JSON.parse(storage.read(KEY) ?? '[]');
    return Array.isArray(list) ? list.filter(isCable) : [];
  } catch {
    return [];
  }
}

/** Puts a device first, in place of an earlier entry with the same numbers. */
export function rememberCable(storage: KeyValueStorage, cable: RememberedCable): void {
  const others = rememberedCables(storage).filter((one) => !isSameDevice(one, cable));
  storage.write(KEY, JSON.stringify([cable, ...others].slice(0, MOST)));
}

/** Whether both have the same USB numbers. Two ports without any are taken as the same. */
export const isSameDevice = (a: PortIds, b: PortIds): boolean =>
  a.usbVendorId === b.usbVendorId && a.usbProductId === b.usbProductId;

function isCable(value: unknown): value is RememberedCable {
  if (typeof value !== 'object' || value === null) return false;
  const { baudRate, layout, usedAt } = value as Partial<Record<keyof RememberedCable, unknown>>;
  return (
    typeof baudRate === 'number' && baudRate > 0 && typeof layout === 'string' && typeof usedAt === 'string'
  );
}
