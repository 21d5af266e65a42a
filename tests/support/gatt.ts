/** The attributes of a peripheral as plain data, with long UUIDs. */

export interface GattDescriptor {
  readonly uuid: string;
  readonly value: Uint8Array;
}

export interface GattCharacteristic {
  readonly uuid: string;
  readonly flags: readonly ('read' | 'notify' | 'write')[];
  /** Value of a read; absent for a characteristic that cannot be read. */
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
  /** UUIDs of the advertised services, which a chooser can filter by. */
  readonly advertised: readonly string[];
  readonly services: readonly GattService[];
}
