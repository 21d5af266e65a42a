import type { SourceInfo } from '../../../worker/file/records.ts';
import { layoutName } from '../../../worker/wire/stream-decoder.ts';
import type { Clock, KeyValueStorage, Log } from '../../platform/ports.ts';
import type { Link, LinkListener, LinkMaker } from '../device/link.ts';
import { openSession } from '../device/session.ts';
import { type SampleSink, type SampleSource, SourceProblem } from '../port.ts';
import { findRate, USUAL_RATES } from './listen.ts';
import { toCableProblem } from './problems.ts';
import { isSameDevice, rememberCable, rememberedCables } from './remembered.ts';
import type { CableSettings } from './settings.ts';
import type { WebSerial, WebSerialPort } from './web-serial.ts';

export interface CableSourceDeps {
  /** `undefined` in a browser without Web Serial. */
  readonly serial: WebSerial | undefined;
  readonly clock: Clock;
  /** Keeps the rate of each device. */
  readonly storage: KeyValueStorage;
  readonly settings?: CableSettings | undefined;
  /** Receives every problem, those of retried attempts included. Cancelling by the user is not logged. */
  readonly log?: Pick<Log, 'add'> | undefined;
}

/**
 * A pressure transducer on a cable. The first `open` shows the browser's chooser, so it must be called within a user
 * gesture. Opened again, it uses the same device without the chooser.
 */
export function createCableSource(deps: CableSourceDeps): SampleSource {
  const { serial, clock, storage, settings = {}, log } = deps;
  let chosen: WebSerialPort | undefined;

  function note(problem: SourceProblem): void {
    if (problem.code !== 'cancelled') log?.add('cable', problem);
  }

  async function choose(from: WebSerial): Promise<WebSerialPort> {
    try {
      return await from.requestPort();
    } catch (cause) {
      const problem = toCableProblem(cause, 'choose');
      note(problem);
      throw problem;
    }
  }

  return {
    kind: 'serial',
    async open(sink: SampleSink, signal: AbortSignal): Promise<SourceInfo> {
      if (serial === undefined) throw new SourceProblem('no-serial', 'This browser has no Web Serial.');
      if (signal.aborted) throw new SourceProblem('cancelled', 'Stopped before it began.');
      chosen ??= await choose(serial);
      const ids = chosen.getInfo();
      sink.status({ state: 'connecting' });

      /** The same device, which may be another port object after the cable was pulled. */
      async function present(from: WebSerial): Promise<WebSerialPort> {
        const ports = await from.getPorts();
        const port =
          ports.find((one) => one === chosen) ?? ports.find((one) => isSameDevice(one.getInfo(), ids));
        if (port === undefined) throw new SourceProblem('unplugged', 'The device is not plugged in.');
        chosen = port;
        return port;
      }

      async function openLink(from: WebSerial, listener: LinkListener): Promise<Link> {
        const port = await present(from);
        const known = rememberedCables(storage).find((one) => isSameDevice(one, ids))?.baudRate;
        const rates = [...new Set([...(known === undefined ? [] : [known]), ...USUAL_RATES])];
        const heard = await findRate(port, rates, settings, clock, signal, listener);
        const { baudRate, layout } = heard;
        rememberCable(storage, { ...ids, baudRate, layout: layoutName(layout), usedAt: clock.wallTime() });
        return { layout, facts: { name: nameOf(ids) }, close: () => heard.port.close() };
      }

      const maker: LinkMaker = {
        kind: 'serial',
        device: chosen,
        name: nameOf(ids),
        open: (listener) => openLink(serial, listener),
        onReturned(call) {
          serial.addEventListener('connect', call);
          return () => serial.removeEventListener('connect', call);
        },
      };
      try {
        return await openSession(maker, clock, sink, signal, note);
      } catch (cause) {
        // Not a usable transducer, or not there: the next `open` shows the chooser again.
        chosen = undefined;
        throw cause;
      }
    },
  };
}

/** Browsers do not say the name of a device, only its USB numbers. */
function nameOf({ usbVendorId, usbProductId }: ReturnType<WebSerialPort['getInfo']>): string {
  const hex = (n: number | undefined): string => (n ?? 0).toString(16).padStart(4, '0');
  return usbVendorId === undefined ? 'Serial port' : `USB ${hex(usbVendorId)}:${hex(usbProductId)}`;
}
