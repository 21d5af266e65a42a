/** What a peripheral offers, as plain data. UUIDs in their long form. */

export interface GattDescriptor {
  readonly uuid: string;
  readonly value: Uint8Array;
}

export interface GattCharacteristic {
  readonly uuid: string;
  readonly flags: readonly ('read' | 'notify' | 'write')[];
  /** What a read gives; nothing for one that cannot be read. */
  readonly value?: Uint8Array | undefined;
  readonly descriptors?: readonly GattDescriptor[] | undefined;
}

export interface GattService {
  readonly uuid: string;
  readonly characteristics: readonly GattCharacteristic[];
}

export interface PeripheralProfile {
  /** `C0:FF:EE:00:00:01` */
  readonly address: string;
  readonly name: string;
  /** UUIDs of services in the advertisement: what a chooser can filter by. */
  readonly advertised: readonly string[];
  readonly services: readonly GattService[];
}
