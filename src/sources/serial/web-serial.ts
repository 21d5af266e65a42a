/** The part of Web Serial that the app uses; the compiler's library does not declare it. Tests script it with real streams. */

/** USB numbers of a port; missing where the port is not on USB. */
export interface PortIds {
  readonly usbVendorId?: number | undefined;
  readonly usbProductId?: number | undefined;
}

/** A port that the user allowed. It emits `disconnect` when the cable is pulled. */
export interface WebSerialPort extends EventTarget {
  /** `null` while closed and after a fatal error; another stream after an error that the port survives. */
  readonly readable: ReadableStream<Uint8Array> | null;
  open(options: { readonly baudRate: number; readonly bufferSize?: number }): Promise<void>;
  close(): Promise<void>;
  getInfo(): PortIds;
}

/** `navigator.serial`. It emits `connect` when an allowed port is back. */
export interface WebSerial extends EventTarget {
  /** Shows the browser's chooser; only within a user gesture. Rejects with the browser's error. */
  requestPort(): Promise<WebSerialPort>;
  /** Ports that the user allowed and that are plugged in. */
  getPorts(): Promise<readonly WebSerialPort[]>;
}

/** `undefined` in a browser without Web Serial. */
export const webSerial = (): WebSerial | undefined =>
  (navigator as unknown as { readonly serial?: WebSerial }).serial;
