/** `navigator.serial` and its ports, scripted, with real streams. Fed by the simulator. */
import { makeEngine } from '../../simulator/engine.ts';
import { createLiveEngine } from '../../simulator/live-engine.ts';
import { OPEN_RIG } from '../../simulator/rig.ts';
import { makeSensor } from '../../simulator/transducer.ts';
import type { PortIds, WebSerial, WebSerialPort } from '../../src/sources/serial/web-serial.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import { UNITS } from '../../worker/wire/presentation-format.ts';
import { encodeFrame } from '../../worker/wire/serial-frame.ts';

/** A port of a device that sends at one rate; at others its octets are garbled. */
export class ScriptedPort extends EventTarget implements WebSerialPort {
  readable: ReadableStream<Uint8Array> | null = null;
  /** Rates at which it was opened. */
  readonly rates: number[] = [];
  isPlugged = true;
  private controller: ReadableStreamDefaultController<Uint8Array> | undefined;
  private baudRate = 0;

  /** `rate`: `null` for a device that ignores it. */
  constructor(
    private readonly ids: PortIds,
    private readonly rate: number | null = null,
  ) {
    super();
  }

  getInfo(): PortIds {
    return this.ids;
  }

  async open({ baudRate }: { readonly baudRate: number }): Promise<void> {
    if (this.readable !== null) throw new DOMException('The port is already open.', 'InvalidStateError');
    if (!this.isPlugged) throw new DOMException('Failed to open serial port.', 'NetworkError');
    this.rates.push(baudRate);
    this.baudRate = baudRate;
    this.readable = this.stream();
  }

  async close(): Promise<void> {
    if (this.readable?.locked) throw new TypeError('Cannot cancel a locked stream.');
    this.readable = null;
    this.controller = undefined;
  }

  /** Octets from the device. */
  send(bytes: Uint8Array): void {
    const isRight = this.rate === null || this.rate === this.baudRate;
    this.controller?.enqueue(isRight ? bytes : bytes.map((byte, i) => (byte * 167 + i * 91) & 0xff));
  }

  /** An error that the port survives, such as a framing error. */
  disturb(): void {
    const broken = this.controller;
    this.readable = this.stream();
    broken?.error(new DOMException('A framing error.', 'FramingError'));
  }

  /** Pulls the cable. */
  unplug(): void {
    this.isPlugged = false;
    const broken = this.controller;
    this.readable = null;
    this.controller = undefined;
    broken?.error(new DOMException('The device has been lost.', 'NetworkError'));
    this.dispatchEvent(new Event('disconnect'));
  }

  private stream(): ReadableStream<Uint8Array> {
    return new ReadableStream<Uint8Array>({
      start: (controller) => {
        this.controller = controller;
      },
      cancel: () => {
        this.controller = undefined;
      },
    });
  }
}

/** The browser's side, with one port that the user chooses. */
export class ScriptedSerial extends EventTarget implements WebSerial {
  asked = 0;
  constructor(public port: ScriptedPort) {
    super();
  }
  async requestPort(): Promise<WebSerialPort> {
    this.asked++;
    return this.port;
  }
  async getPorts(): Promise<readonly WebSerialPort[]> {
    return this.port.isPlugged ? [this.port] : [];
  }
  /** Plugs the device in again, as another port object. */
  plugIn(port: ScriptedPort): void {
    this.port = port;
    this.dispatchEvent(new Event('connect'));
  }
}

/** How the device writes its samples. */
export type CableFormat = 'framed' | 'lines' | 'timed-us' | 'timed-ms' | 'volts' | 'bare';

const RANGE_KPA = 2500;
const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

/**
 * A simulated engine whose sensor writes octets. The returned function gives those of the time up to `untilS`, cut into
 * pieces at odd places.
 */
export function simulatedOctets(format: CableFormat, rateHz = 200): (untilS: number) => Uint8Array[] {
  const sensor = makeSensor({ maxKpa: RANGE_KPA, rateHz });
  const engine = makeEngine({ layout: presetLayout('inline', 4) });
  const live = createLiveEngine({ engine, rig: OPEN_RIG, sensor, seed: 5 }, 1);
  live.crank(1, 5);
  let sequence = 65_530;
  const write = ({ timeS, pressureKpa }: { timeS: Float64Array; pressureKpa: Float64Array }): Uint8Array => {
    if (format === 'framed') {
      if (timeS.length === 0) return new Uint8Array();
      const packet = {
        sequence: sequence++,
        deviceTimeUs: 4_294_000_000 + (timeS[0] ?? 0) * 1e6,
        samplePeriodUs: Math.round(1e6 / rateHz),
        samples: Int16Array.from(pressureKpa, (kpa) => Math.round(kpa * 10)),
      };
      return encodeFrame(packet, { exponent: 2, unit: UNITS.pascal });
    }
    const line = (kpa: number, i: number): string => {
      const s = (timeS[i] ?? 0) + 3;
      switch (format) {
        case 'lines':
          return `${kpa.toFixed(1)} kPa\r\n`;
        case 'timed-us':
          return `${Math.round(s * 1e6)},${(kpa / 6.894757293168361).toFixed(2)} psi\n`;
        case 'timed-ms':
          return `${Math.round(s * 1e3)}\t${(kpa / 100).toFixed(3)} bar\n`;
        case 'volts':
          return `${(0.5 + (4 * kpa) / RANGE_KPA).toFixed(4)} V\n`;
        default:
          return `${kpa.toFixed(1)}\n`;
      }
    };
    return ascii([...pressureKpa].map(line).join(''));
  };
  return (untilS) => {
    const bytes = write(live.sample(untilS));
    const cut = Math.floor(bytes.length / 3) + 1;
    return [bytes.subarray(0, cut), bytes.subarray(cut)].filter((piece) => piece.length > 0);
  };
}
