import type { CustomLayout } from '../../../worker/wire/custom-layout.ts';
import { SERVICES } from '../../../worker/wire/uuids.ts';
import type { ChooserRequest } from './gatt-port.ts';

/** What the person may tell of a transducer that is not known by itself. All may be left out. */
export interface BluetoothSettings {
  /** Show every device in the chooser, not only those that announce a known service. */
  readonly anyDevice?: boolean | undefined;
  /** A service to look into besides the known ones, UUID in long form (`normaliseUuid`). */
  readonly service?: string | undefined;
  /** The characteristic to listen to; without a description of its own it is read as text lines. */
  readonly characteristic?: string | undefined;
  /** What a text line without a unit counts in, in kPa. */
  readonly textKpaPerUnit?: number | undefined;
  readonly layout?: CustomLayout | undefined;
}

/** Services that a transducer would announce itself by. */
const ANNOUNCED: readonly string[] = [
  SERVICES.strokebook,
  SERVICES.environmentalSensing,
  SERVICES.serialPort,
  SERVICES.serialModule,
];

export function chooserRequest(settings: BluetoothSettings): ChooserRequest {
  const own = [settings.service, settings.layout?.service].filter((uuid) => uuid !== undefined);
  const announced = [...new Set([...own, ...ANNOUNCED])];
  return {
    announced: settings.anyDevice === true ? [] : announced,
    services: [...announced, SERVICES.battery, SERVICES.deviceInformation],
  };
}
