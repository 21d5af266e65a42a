/** As much of Bluetooth as a transducer needs. In front of the browser's own, so that tests can play every fault. */

export interface ChooserRequest {
  /** Show only devices that announce one of these; empty: show every device. UUIDs in long form. */
  readonly announced: readonly string[];
  /** Services that may be used once connected. */
  readonly services: readonly string[];
}

export interface GattPort {
  /**
   * Lets the person choose a device. Browsers allow it only while a press is being handled: call it before
   * anything is awaited. Rejects with whatever the browser threw.
   */
  choose(request: ChooserRequest): Promise<GattDevice>;
}

export interface GattDevice {
  readonly name: string | undefined;
  /** True while the link stands. */
  connected(): boolean;
  /** May never settle: have a time limit, and call `disconnect` when it is over. */
  connect(): Promise<void>;
  /** Returns at once; the radio lets go some moments later. */
  disconnect(): void;
  /** Calls whenever a link is lost, by whichever side. Gives back what ends it. */
  onDisconnected(call: () => void): () => void;
  /** Asked anew on every link: what belonged to an old one is dead. */
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
   * Starts notifications. `heard` is called from the first one on, each with bytes of its own. Gives back what
   * stops listening and never throws.
   */
  subscribe(heard: (bytes: DataView) => void): Promise<() => void>;
}
