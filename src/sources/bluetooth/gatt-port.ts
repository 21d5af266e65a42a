/** The part of Bluetooth GATT that a transducer needs. A port, so that tests can simulate every fault. */

export interface ChooserRequest {
  /** Show only devices that advertise one of these services; empty: show every device. UUIDs in long form. */
  readonly announced: readonly string[];
  /** Services that may be used once connected. */
  readonly services: readonly string[];
}

export interface GattPort {
  /**
   * Lets the user choose a device. Browsers allow it only within a user gesture: call it before anything is awaited.
   * Rejects with the browser's error.
   */
  choose(request: ChooserRequest): Promise<GattDevice>;
}

/** A device that the user chose. Errors of its methods and services are the browser's own. */
export interface GattDevice {
  readonly name: string | undefined;
  /** Whether the link is up. */
  connected(): boolean;
  /** May never settle: use a timeout, and call `disconnect` when it expires. */
  connect(): Promise<void>;
  /** Returns at once; the radio releases the link some time later. */
  disconnect(): void;
  /** Calls `call` after each disconnect, by either side. Returns a function that unsubscribes. */
  onDisconnected(call: () => void): () => void;
  /** Must be called again on each link: services of a previous link are invalid. */
  services(): Promise<readonly GattService[]>;
}

export interface GattService {
  readonly uuid: string;
  characteristics(): Promise<readonly GattCharacteristic[]>;
}

export interface GattCharacteristic {
  readonly uuid: string;
  readonly notifies: boolean;
  readonly readable: boolean;
  read(): Promise<DataView>;
  /** `undefined` when there is no such descriptor. */
  readDescriptor(uuid: string): Promise<DataView | undefined>;
  /**
   * Starts notifications. `onNotification` is called from the first one on, each time with a new copy of the bytes.
   * Resolves with a function that unsubscribes and never throws.
   */
  subscribe(onNotification: (bytes: DataView) => void): Promise<() => void>;
}
