/**
 * The part of the Linux Bluetooth daemon that a browser needs: owns the name `org.bluez` on a private bus and exposes an
 * adapter, peripherals and their attributes as objects there. Chromium on that bus runs its real Web
 * Bluetooth against it, with no radio. Interfaces: the D-Bus API documents of the BlueZ project (recalled).
 */
import { EventEmitter } from 'node:events';
import { Message, type MessageBus, MessageType, sessionBus, Variant } from 'dbus-next';

export type Properties = Readonly<Record<string, Variant<unknown>>>;
/** Properties by interface name, without `org.bluez.`. */
export type Interfaces = Readonly<Record<string, Properties>>;

/** A call to one object. The return value is the answer; a thrown `BluezRefusal` is an error reply. */
export type CallHandler = (member: string, args: readonly unknown[]) => Answer | Promise<Answer>;
export type Answer = { readonly signature: string; readonly body: readonly unknown[] } | undefined;

/** Answers a call with `org.bluez.Error.<code>`. */
export class BluezRefusal extends Error {
  override readonly name = 'BluezRefusal';
  constructor(
    readonly code: 'Failed' | 'NotConnected' | 'NotPermitted',
    message: string,
  ) {
    super(message);
  }
}

const OBJECT_MANAGER = 'org.freedesktop.DBus.ObjectManager';
const PROPERTIES = 'org.freedesktop.DBus.Properties';
const PREFIX = 'org.bluez.';
export const ADAPTER = '/org/bluez/hci0';

const text = (value: string) => new Variant<unknown>('s', value);
const flag = (value: boolean) => new Variant<unknown>('b', value);

const adapter: Properties = {
  Address: text('02:00:00:00:00:01'),
  AddressType: text('public'),
  Name: text('bench'),
  Alias: text('bench'),
  Class: new Variant('u', 0),
  Powered: flag(true),
  Discoverable: flag(false),
  DiscoverableTimeout: new Variant('u', 0),
  Pairable: flag(false),
  PairableTimeout: new Variant('u', 0),
  Discovering: flag(false),
  UUIDs: new Variant('as', []),
  Modalias: text('usb:v1D6Bp0246d0537'),
  Roles: new Variant('as', ['central']),
};

interface Item {
  readonly interfaces: Record<string, Record<string, Variant<unknown>>>;
  readonly onCall: CallHandler | undefined;
}

/** Every attribute of every interface, with the full interface names that the bus uses. */
const onBus = (interfaces: Item['interfaces']) =>
  Object.fromEntries(Object.entries(interfaces).map(([name, values]) => [PREFIX + name, values]));

/** The emulated daemon. `discovering` is emitted when a scan starts or stops. */
export class Bluez extends EventEmitter<{ discovering: [boolean] }> {
  /** Calls as `path Interface.Member`, oldest first, for debugging. */
  readonly calls: string[] = [];
  readonly #items = new Map<string, Item>();
  readonly #bus: MessageBus;
  #isStopped = false;

  private constructor(bus: MessageBus) {
    super();
    this.#bus = bus;
  }

  static async start(busAddress: string): Promise<Bluez> {
    const bus = sessionBus({ busAddress });
    const bluez = new Bluez(bus);
    bus.addMethodHandler((message: Message) => bluez.#onMessage(message));
    await bus.requestName('org.bluez', 0);
    bluez.add('/org/bluez', { AgentManager1: {}, ProfileManager1: {} });
    bluez.add(ADAPTER, { Adapter1: adapter, GattManager1: {}, LEAdvertisingManager1: {} }, (member) => {
      if (member === 'StartDiscovery') bluez.#discover(true);
      if (member === 'StopDiscovery') bluez.#discover(false);
      return undefined;
    });
    return bluez;
  }

  stop(): void {
    this.#isStopped = true;
    this.#bus.disconnect();
  }

  /** Turns Bluetooth off or on, as the user would. */
  setPowered(powered: boolean): void {
    this.set(ADAPTER, 'Adapter1', { Powered: flag(powered) });
  }

  add(path: string, interfaces: Interfaces, onCall?: CallHandler): void {
    const own = Object.fromEntries(Object.entries(interfaces).map(([name, values]) => [name, { ...values }]));
    this.#items.set(path, { interfaces: own, onCall });
    this.#signal('/', OBJECT_MANAGER, 'InterfacesAdded', 'oa{sa{sv}}', [path, onBus(own)]);
  }

  /** Removes the object and all below it, the deepest first. */
  remove(path: string): void {
    const gone = [...this.#items.keys()].filter((key) => key === path || key.startsWith(`${path}/`));
    for (const key of gone.sort().reverse()) {
      const names = Object.keys(onBus(this.#items.get(key)!.interfaces));
      this.#items.delete(key);
      this.#signal('/', OBJECT_MANAGER, 'InterfacesRemoved', 'oas', [key, names]);
    }
  }

  /** Sets properties and signals the change, also for equal values. Does nothing when the object does not exist. */
  set(path: string, interfaceName: string, changed: Properties): void {
    const values = this.#items.get(path)?.interfaces[interfaceName];
    if (values === undefined) return;
    Object.assign(values, changed);
    this.#signal(path, PROPERTIES, 'PropertiesChanged', 'sa{sv}as', [PREFIX + interfaceName, changed, []]);
  }

  #discover(on: boolean): void {
    this.set(ADAPTER, 'Adapter1', { Discovering: flag(on) });
    this.emit('discovering', on);
  }

  #signal(path: string, from: string, name: string, signature: string, body: unknown[]): void {
    // A peripheral may still be about to drop its link.
    if (this.#isStopped) return;
    this.#bus.send(Message.newSignal(path, from, name, signature, body));
  }

  #onMessage(message: Message): boolean {
    if (message.type !== MessageType.METHOD_CALL || !this.#isOurs(message)) return false;
    this.calls.push(`${message.path} ${message.interface.split('.').pop()}.${message.member}`);
    this.#answer(message).then(
      (answer) =>
        this.#bus.send(Message.newMethodReturn(message, answer?.signature ?? '', [...(answer?.body ?? [])])),
      (reason: unknown) => {
        const code = reason instanceof BluezRefusal ? reason.code : 'Failed';
        // The library's types ask for a string where it accepts the message.
        const asked = message as unknown as string;
        this.#bus.send(Message.newError(asked, `${PREFIX}Error.${code}`, String((reason as Error).message)));
      },
    );
    return true;
  }

  #isOurs(message: Message): boolean {
    const { interface: name } = message;
    return name === OBJECT_MANAGER || name === PROPERTIES || name?.startsWith(PREFIX) === true;
  }

  async #answer(message: Message): Promise<Answer> {
    const args: readonly unknown[] = message.body;
    const item = this.#items.get(message.path);
    if (message.interface === OBJECT_MANAGER) {
      const all = Object.fromEntries([...this.#items].map(([path, it]) => [path, onBus(it.interfaces)]));
      return { signature: 'a{oa{sa{sv}}}', body: [all] };
    }
    if (item === undefined) throw new BluezRefusal('NotConnected', 'No such object');
    if (message.interface === PROPERTIES) return this.#property(message, item, args);
    return item.onCall?.(message.member, args);
  }

  #property(message: Message, item: Item, [interfaceName, property, value]: readonly unknown[]): Answer {
    const name = String(interfaceName).slice(PREFIX.length);
    const values = item.interfaces[name] ?? {};
    if (message.member === 'GetAll') return { signature: 'a{sv}', body: [values] };
    if (message.member === 'Set') {
      this.set(message.path, name, { [String(property)]: value as Variant<unknown> });
      return undefined;
    }
    const found = values[String(property)];
    if (found === undefined) throw new BluezRefusal('Failed', 'No such property');
    return { signature: 'v', body: [found] };
  }
}
