import type { SourceInfo } from '../../../worker/file/records.ts';
import type { SensorRange, StreamLayout } from '../../../worker/wire/stream-decoder.ts';

/** One connection to a sensor, over the radio or by cable. Nothing of it is reused by the next one. */
export interface Link {
  readonly layout: StreamLayout;
  readonly range?: SensorRange | undefined;
  /** What is known of the sensor. */
  readonly facts: Partial<SourceInfo>;
  /** Ends the connection. Never throws, may be called again. The listener is not called afterwards. */
  close(): void;
}

export interface LinkListener {
  /** Bytes as they arrive, with their own copy. */
  notification(bytes: DataView): void;
  /** Battery level, 0 to 100. */
  battery(percent: number): void;
  /** The link was lost without `close`. Called at most once. */
  lost(): void;
}

/** A sensor to which links are opened, one after the other. */
export interface LinkMaker {
  readonly kind: 'bluetooth' | 'serial';
  /** The device that the user chose: the time of its last disconnect is kept by this object. */
  readonly device: object;
  /** Its name, for the case that `facts` has none. */
  readonly name: string;
  /** Rejects with a `SourceProblem` after disconnecting. The listener may be called before it resolves. */
  open(listener: LinkListener): Promise<Link>;
  /** Calls `call` when the device is back, so that reconnecting need not wait. Returns a function that unsubscribes. */
  onReturned?(call: () => void): () => void;
}
