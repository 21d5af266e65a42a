import type { CustomLayout } from '../../../worker/wire/custom-layout.ts';
import { SERVICES } from '../../../worker/wire/uuids.ts';
import type { ChooserRequest } from './gatt-port.ts';

/** The user's settings for transducers that do not describe themselves. All optional. */
export interface BluetoothSettings {
  /** Show every device in the chooser, not only those that announce a known service. */
  readonly anyDevice?: boolean | undefined;
  /** A service to search besides the known ones, UUID in long form (`normaliseUuid`). */
  readonly service?: string | undefined;
  /** The characteristic to subscribe to. Without a presentation format it is read as text lines. */
  readonly characteristic?: string | undefined;
  /** Unit of text lines without one, in kPa. */
  readonly textKpaPerUnit?: number | undefined;
  /** Layout from a file of the user; it takes precedence. */
  readonly layout?: CustomLayout | undefined;
}

/** Services that a transducer may advertise. */
const ANNOUNCED: readonly string[] = [
  SERVICES.strokebook,
  SERVICES.environmentalSensing,
  SERVICES.serialPort,
  SERVICES.serialModule,
];

/** Request for the browser's chooser: known services and those of the settings. */
export function chooserRequest(settings: BluetoothSettings): ChooserRequest {
  const own = [settings.service, settings.layout?.service].filter((uuid) => uuid !== undefined);
  const announced = [...new Set([...own, ...ANNOUNCED])];
  return {
    announced: settings.anyDevice === true ? [] : announced,
    services: [...announced, SERVICES.battery, SERVICES.deviceInformation],
  };
}
