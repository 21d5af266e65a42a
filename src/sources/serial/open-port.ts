import { SourceProblem } from '../port.ts';
import { toCableProblem } from './problems.ts';
import type { WebSerialPort } from './web-serial.ts';

/** A port that is open and read. */
export interface OpenPort {
  /** Stops reading and closes the port. Never throws, may be called again. The listener is not called afterwards. */
  close(): void;
}

export interface OpenPortListener {
  bytes(bytes: DataView): void;
  /** Octets came that the port could not read: a wrong rate, usually. */
  disturbed(): void;
  /** The cable was pulled, or the port failed. Called at most once. */
  lost(): void;
}

/** Closing takes time, and a port that is asked to open before has ended rejects. */
const closing = new WeakMap<WebSerialPort, Promise<unknown>>();

const BUFFER_BYTES = 16_384;
/** Errors in a row, without a single octet between them, after which the port is given up. */
const MOST_ERRORS = 50;

/** Opens the port and reads it until it is closed or lost. Rejects with a `SourceProblem`. */
export async function openPort(
  port: WebSerialPort,
  baudRate: number,
  listener: OpenPortListener,
): Promise<OpenPort> {
  await closing.get(port);
  try {
    await port.open({ baudRate, bufferSize: BUFFER_BYTES });
  } catch (cause) {
    throw toCableProblem(cause, 'open');
  }
  let isOpen = true;
  let reader: ReadableStreamDefaultReader<Uint8Array> | undefined;

  const lose = (): void => {
    if (!isOpen) return;
    close();
    listener.lost();
  };

  /** Reads one stream to its end or error. Whether the port may have another one. */
  async function readStream(stream: ReadableStream<Uint8Array>): Promise<'ended' | 'failed' | 'read'> {
    let hasRead = false;
    reader = stream.getReader();
    try {
      for (;;) {
        const { value, done } = await reader.read();
        if (done) return 'ended';
        if (!isOpen) return 'ended';
        hasRead = true;
        // A copy: the stream may use the buffer again.
        if (value.byteLength > 0) listener.bytes(new DataView(value.slice().buffer));
      }
    } catch {
      return hasRead ? 'read' : 'failed';
    } finally {
      reader.releaseLock();
    }
  }

  async function pump(): Promise<void> {
    let errors = 0;
    while (isOpen && port.readable !== null && errors < MOST_ERRORS) {
      const end = await readStream(port.readable);
      if (!isOpen || end === 'ended') break;
      errors = end === 'read' ? 1 : errors + 1;
      listener.disturbed();
    }
    lose();
  }

  function close(): void {
    if (!isOpen) return;
    isOpen = false;
    port.removeEventListener('disconnect', lose);
    const ended = pumping
      .then(() => port.close())
      .catch(() => undefined)
      .finally(() => {
        if (closing.get(port) === ended) closing.delete(port);
      });
    closing.set(port, ended);
    // Rejects when the lock was released in between, which is the aim.
    reader?.cancel().catch(() => undefined);
  }

  port.addEventListener('disconnect', lose);
  const pumping = pump();
  if (port.readable === null) throw new SourceProblem('unplugged', 'open: the port cannot be read.');
  return { close };
}
