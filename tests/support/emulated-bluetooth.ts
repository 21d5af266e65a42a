/**
 * An emulated Bluetooth radio with peripherals for Chromium's own Web Bluetooth. One for each browser: pass
 * `busAddress` as `DBUS_SYSTEM_BUS_ADDRESS` when it is launched.
 */
import { EventEmitter } from 'node:events';
import { Variant } from 'dbus-next';
import { longUuid } from '../../worker/wire/uuids.ts';
import { ADAPTER, type Answer, Bluez, BluezRefusal, type CallHandler } from './bluez.ts';
import type { GattCharacteristic, GattDescriptor, PeripheralProfile } from './gatt.ts';
import { startPrivateBus } from './message-bus.ts';

/** Advertisements per second during discovery. */
const BEACON_MS = 200;

const bytes = (value: Uint8Array) => new Variant<unknown>('ay', Buffer.from(value));
const flag = (value: boolean) => new Variant<unknown>('b', value);
const numbered = (path: string, kind: string, index: number) =>
  `${path}/${kind}${String(index + 1).padStart(4, '0')}`;

export class EmulatedPeripheral extends EventEmitter<{
  connected: [];
  disconnected: [];
  subscribed: [uuid: string];
}> {
  /** Delay between the browser's disconnect and the end of the link, as with real radios, ms. */
  disconnectDelayMs = 0;
  readonly #bluez: Bluez;
  readonly #path: string;
  readonly #paths = new Map<string, string>();
  readonly #notifying = new Set<string>();
  #values = new Map<string, Uint8Array>();
  #refusal: string | null = null;
  #reachable = true;
  #connected = false;

  constructor(
    bluez: Bluez,
    readonly profile: PeripheralProfile,
  ) {
    super();
    this.#bluez = bluez;
    this.#path = `${ADAPTER}/dev_${profile.address.replaceAll(':', '_')}`;
    const { address, name, advertised } = profile;
    bluez.add(
      this.#path,
      {
        Device1: {
          Address: new Variant('s', address),
          AddressType: new Variant('s', 'random'),
          Name: new Variant('s', name),
          Alias: new Variant('s', name),
          Paired: flag(false),
          Bonded: flag(false),
          Trusted: flag(false),
          Blocked: flag(false),
          LegacyPairing: flag(false),
          Connected: flag(false),
          ServicesResolved: flag(false),
          RSSI: new Variant('n', -55),
          UUIDs: new Variant('as', [...advertised]),
          Adapter: new Variant('o', ADAPTER),
          ManufacturerData: new Variant('a{qv}', {}),
          ServiceData: new Variant('a{sv}', {}),
        },
      },
      (member) => this.#onDeviceCall(member),
    );
  }

  get isConnected(): boolean {
    return this.#connected;
  }

  isSubscribed(uuid: string): boolean {
    return this.#notifying.has(uuid);
  }

  /** Resolves once the browser has subscribed to this characteristic; at once if it already has. */
  async untilSubscribed(uuid: string): Promise<void> {
    while (!this.isSubscribed(uuid)) await new Promise((resolve) => this.once('subscribed', resolve));
  }

  /** One notification: one `characteristicvaluechanged`. Returns false and sends nothing without a subscription. */
  notify(uuid: string, value: Uint8Array): boolean {
    const path = this.#paths.get(uuid);
    if (path === undefined || !this.#notifying.has(uuid)) return false;
    this.#bluez.set(path, 'GattCharacteristic1', { Value: bytes(value) });
    return true;
  }

  /** Changes the value of a read, such as the battery level. */
  setValue(uuid: string, value: Uint8Array): void {
    this.#values.set(uuid, value);
  }

  /** Loses the link, as when going out of range. Answers again when the browser reconnects. */
  dropLink(): void {
    if (!this.#connected) return;
    this.#connected = false;
    this.#notifying.clear();
    this.#paths.clear();
    this.#bluez.set(this.#path, 'Device1', { ServicesResolved: flag(false), Connected: flag(false) });
    for (const index of this.profile.services.keys())
      this.#bluez.remove(numbered(this.#path, 'service', index));
    this.emit('disconnected');
  }

  /** Flat battery: connections are neither accepted nor refused any more. */
  die(): void {
    this.setReachable(false);
    this.dropLink();
  }

  /** Refuses connections with this BlueZ reason, such as `le-connection-abort-by-local`; `null` accepts them again. */
  refuse(reason: string | null): void {
    this.#refusal = reason;
  }

  /** False: connections are neither accepted nor refused, as when just out of range. */
  setReachable(reachable: boolean): void {
    this.#reachable = reachable;
  }

  /** A known peripheral enters the chooser only when its signal strength changes. */
  beacon(): void {
    if (!this.#reachable) return;
    this.#bluez.set(this.#path, 'Device1', { RSSI: new Variant('n', -50 - Math.floor(Math.random() * 20)) });
  }

  #onDeviceCall(member: string): Answer | Promise<Answer> {
    if (member === 'Connect') {
      if (this.#refusal !== null) throw new BluezRefusal('Failed', this.#refusal);
      if (!this.#reachable) return new Promise(() => {});
      if (!this.#connected) this.#connect();
    }
    if (member === 'Disconnect') setTimeout(() => this.dropLink(), this.disconnectDelayMs);
    return undefined;
  }

  #connect(): void {
    this.#connected = true;
    this.#bluez.set(this.#path, 'Device1', { Connected: flag(true) });
    this.profile.services.forEach((service, i) => {
      const servicePath = numbered(this.#path, 'service', i);
      this.#bluez.add(servicePath, {
        GattService1: {
          UUID: new Variant('s', service.uuid),
          Primary: flag(true),
          Device: new Variant('o', this.#path),
          Includes: new Variant('ao', []),
        },
      });
      service.characteristics.forEach((characteristic, j) => {
        this.#addCharacteristic(servicePath, numbered(servicePath, 'char', j), characteristic);
      });
    });
    this.#bluez.set(this.#path, 'Device1', { ServicesResolved: flag(true) });
    this.emit('connected');
  }

  #addCharacteristic(servicePath: string, path: string, characteristic: GattCharacteristic): void {
    const { uuid, flags } = characteristic;
    const descriptors = [
      ...(characteristic.descriptors ?? []),
      // The client characteristic configuration descriptor: without it Chromium does not subscribe.
      ...(flags.includes('notify') ? [{ uuid: longUuid(0x2902), value: new Uint8Array(2) }] : []),
    ];
    this.#paths.set(uuid, path);
    this.#bluez.add(
      path,
      {
        GattCharacteristic1: {
          UUID: new Variant('s', uuid),
          Service: new Variant('o', servicePath),
          Value: bytes(new Uint8Array()),
          Notifying: flag(false),
          Flags: new Variant('as', [...flags]),
        },
      },
      this.#characteristicCalls(path, characteristic),
    );
    descriptors.forEach((descriptor, k) => {
      this.#addDescriptor(path, numbered(path, 'desc', k), descriptor);
    });
  }

  #characteristicCalls(path: string, { uuid, value }: GattCharacteristic): CallHandler {
    return (member) => {
      switch (member) {
        case 'ReadValue':
          return this.#read(path, 'GattCharacteristic1', this.#values.get(uuid) ?? value);
        case 'StartNotify':
          this.#notifying.add(uuid);
          this.#bluez.set(path, 'GattCharacteristic1', { Notifying: flag(true) });
          this.emit('subscribed', uuid);
          return undefined;
        case 'StopNotify':
          this.#notifying.delete(uuid);
          this.#bluez.set(path, 'GattCharacteristic1', { Notifying: flag(false) });
          return undefined;
        default:
          return undefined;
      }
    };
  }

  #addDescriptor(characteristicPath: string, path: string, { uuid, value }: GattDescriptor): void {
    this.#bluez.add(
      path,
      {
        GattDescriptor1: {
          UUID: new Variant('s', uuid),
          Characteristic: new Variant('o', characteristicPath),
          Value: bytes(new Uint8Array()),
        },
      },
      (member) => (member === 'ReadValue' ? this.#read(path, 'GattDescriptor1', value) : undefined),
    );
  }

  #read(path: string, interfaceName: string, value: Uint8Array | undefined): Answer {
    if (value === undefined) throw new BluezRefusal('NotPermitted', 'Read not permitted');
    // BlueZ also signals the value after a read, and Chromium expects exactly one change for it: without this it
    // would swallow the next notification. Sent after the answer, as BlueZ does.
    setImmediate(() => this.#bluez.set(path, interfaceName, { Value: bytes(value) }));
    return { signature: 'ay', body: [Buffer.from(value)] };
  }
}

export class EmulatedBluetooth {
  readonly #peripherals: EmulatedPeripheral[] = [];
  #beacons: NodeJS.Timeout | undefined;

  private constructor(
    readonly busAddress: string,
    readonly bluez: Bluez,
    readonly stop: () => Promise<void>,
  ) {
    bluez.on('discovering', (on) => {
      clearInterval(this.#beacons);
      if (!on) return;
      const beacon = () => this.#peripherals.forEach((peripheral) => void peripheral.beacon());
      this.#beacons = setInterval(beacon, BEACON_MS);
      beacon();
    });
  }

  static async start(): Promise<EmulatedBluetooth> {
    const bus = await startPrivateBus();
    const bluez = await Bluez.start(bus.address);
    const air: EmulatedBluetooth = new EmulatedBluetooth(bus.address, bluez, async () => {
      clearInterval(air.#beacons);
      bluez.stop();
      await bus.stop();
    });
    return air;
  }

  advertise(profile: PeripheralProfile): EmulatedPeripheral {
    const peripheral = new EmulatedPeripheral(this.bluez, profile);
    this.#peripherals.push(peripheral);
    return peripheral;
  }
}
