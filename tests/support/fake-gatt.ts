/** A scripted transducer behind `GattPort`: every fault of a radio, on fake timers. */
import type {
  ChooserRequest,
  GattCharacteristic,
  GattDevice,
  GattPort,
  GattService,
} from '../../src/sources/bluetooth/gatt-port.ts';

export interface FakeCharacteristic {
  readonly uuid: string;
  readonly notifies?: boolean;
  readonly value?: Uint8Array;
  readonly descriptors?: Readonly<Record<string, Uint8Array>>;
}

export interface FakeService {
  readonly uuid: string;
  readonly characteristics: readonly FakeCharacteristic[];
}

/** Replaces the success of one operation. */
export type Fault = 'hang' | Error;

/** Delay until the radio ends a link after `disconnect`, ms; until then `connect` returns the stale link. */
const DISCONNECT_DELAY_MS = 300;

/** A device with these services; each operation takes `delayMs`. */
export class FakeTransducer implements GattDevice {
  readonly name: string | undefined = 'Fake';
  /** Pending faults by operation: the next call takes the first one. */
  readonly faults: Partial<Record<'connect' | 'services' | 'descriptor' | 'read' | 'subscribe', Fault[]>> =
    {};
  /** Every operation, in order. */
  readonly log: string[] = [];
  /** Number of new links; a returned stale link does not count. */
  links = 0;
  /** Operations begun while another one was running: a real radio refuses these. */
  collisions = 0;
  #connected = false;
  #linkUp = false;
  #running = 0;
  #listeners = new Set<() => void>();
  #subscribers = new Map<string, (bytes: DataView) => void>();

  constructor(
    readonly profile: readonly FakeService[],
    readonly delayMs = 5,
  ) {}

  connected(): boolean {
    return this.#connected;
  }

  async connect(): Promise<void> {
    await this.#operate('connect', 'connect');
    if (!this.#linkUp) {
      this.links++;
      this.#linkUp = true;
    }
    this.#connected = true;
  }

  disconnect(): void {
    this.log.push('disconnect');
    if (!this.#connected) return;
    this.#connected = false;
    setTimeout(() => {
      // A client that took the stale link for a new one loses it now.
      const takenForNew = this.#connected;
      this.#linkUp = false;
      if (takenForNew) this.dropLink();
    }, DISCONNECT_DELAY_MS);
  }

  onDisconnected(call: () => void): () => void {
    this.#listeners.add(call);
    return () => this.#listeners.delete(call);
  }

  async services(): Promise<readonly GattService[]> {
    await this.#operate('services', 'services');
    const link = this.links;
    return this.profile.map((service) => ({
      uuid: service.uuid,
      characteristics: async () => {
        await this.#operate('characteristics', undefined);
        return service.characteristics.map((characteristic) => this.#characteristic(characteristic, link));
      },
    }));
  }

  /** Sends a notification; false without a subscription. */
  notify(uuid: string, bytes: Uint8Array): boolean {
    const listener = this.#connected ? this.#subscribers.get(uuid) : undefined;
    // A view with an offset, as browsers deliver them.
    const padded = new Uint8Array(bytes.length + 3);
    padded.set(bytes, 3);
    listener?.(new DataView(padded.buffer, 3));
    return listener !== undefined;
  }

  isSubscribed(uuid: string): boolean {
    return this.#connected && this.#subscribers.has(uuid);
  }

  /** Loses the link: out of range, or switched off. Answers again when the page reconnects. */
  dropLink(): void {
    this.#connected = false;
    this.#linkUp = false;
    this.#subscribers.clear();
    for (const call of [...this.#listeners]) call();
  }

  /** Flat battery: does not answer any more. */
  die(): void {
    this.dropLink();
    const gone = new DOMException('Gone.', 'NetworkError');
    this.faults.connect = Array.from({ length: 200 }, () => gone);
  }

  /** Notifies the listeners of a loss although the link is up: a late event of an earlier link. */
  lateLossEvent(): void {
    for (const call of [...this.#listeners]) call();
  }

  #characteristic(characteristic: FakeCharacteristic, link: number): GattCharacteristic {
    const { uuid, notifies = false, value, descriptors = {} } = characteristic;
    const current = (): void => {
      if (this.links !== link || !this.#connected) {
        throw new DOMException('The characteristic belongs to an old link.', 'InvalidStateError');
      }
    };
    return {
      uuid,
      notifies,
      readable: value !== undefined,
      read: async () => {
        await this.#operate(`read ${uuid}`, 'read');
        current();
        if (value === undefined) throw new DOMException('Read not permitted.', 'NotSupportedError');
        return new DataView(value.slice().buffer);
      },
      readDescriptor: async (wanted) => {
        await this.#operate(`descriptor ${wanted}`, 'descriptor');
        current();
        const bytes = descriptors[wanted];
        return bytes === undefined ? undefined : new DataView(bytes.slice().buffer);
      },
      subscribe: async (listener) => {
        await this.#operate(`subscribe ${uuid}`, 'subscribe');
        current();
        this.#subscribers.set(uuid, listener);
        return () => {
          this.log.push(`unsubscribe ${uuid}`);
          this.#subscribers.delete(uuid);
        };
      },
    };
  }

  async #operate(entry: string, kind: keyof FakeTransducer['faults'] | undefined): Promise<void> {
    this.log.push(entry);
    if (this.#running > 0) this.collisions++;
    this.#running++;
    try {
      const fault = kind === undefined ? undefined : this.faults[kind]?.shift();
      if (fault === 'hang') {
        await new Promise<void>((_, reject) => {
          const poll = (): void => {
            if (this.log.at(-1) === 'disconnect') reject(new DOMException('Aborted.', 'AbortError'));
            else setTimeout(poll, 50);
          };
          poll();
        });
      }
      await new Promise((resolve) => setTimeout(resolve, this.delayMs));
      if (fault instanceof Error) throw fault;
    } finally {
      this.#running--;
    }
  }
}

/** A chooser over one fake transducer. */
export class FakeGatt implements GattPort {
  readonly requests: ChooserRequest[] = [];

  /** `outcome`: the device that the user chooses, or the error that the browser throws. */
  constructor(private readonly outcome: GattDevice | Error) {}

  async choose(request: ChooserRequest): Promise<GattDevice> {
    this.requests.push(request);
    if (this.outcome instanceof Error) throw this.outcome;
    return this.outcome;
  }
}
