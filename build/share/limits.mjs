/** What one device may ask of the shared library. README.md of this folder states them. */
export const LIMITS = {
  /** Bytes of one document. A test of eight cylinders at 1000 samples a second has about 1 MB. */
  documentBytes: 32e6,
  /** Bytes of one message: a whole document. */
  messageBytes: 33e6,
  /** Documents in the library, and their bytes. */
  documents: 300_000,
  libraryBytes: 40e9,
  /** Messages of one device: at once, then a second. What is more waits. */
  messageBurst: 20_000,
  messagesPerSecond: 2000,
  /** Messages that change a document, in the same way. */
  changeBurst: 12_000,
  changesPerSecond: 200,
  /** Sessions that changed one document, which cost time and memory for good. */
  sessionsPerDocument: 2000,
  /** Bytes of one device, in the same way. */
  byteBurst: 400e6,
  bytesPerSecond: 20e6,
  connectionsPerDevice: 8,
  connections: 300,
  devices: 200,
  nameLength: 60,
  /** Attempts to join with a wrong secret, a minute. */
  wrongSecretsPerMinute: 10,
  /** Bytes of a request's body. */
  bodyBytes: 2000,
};

/**
 * A token bucket. `take` returns how many milliseconds to wait before the next message, 0 when none.
 * @param {number} burst
 * @param {number} perSecond
 * @param {() => number} nowMs
 */
export function createBucket(burst, perSecond, nowMs = () => performance.now()) {
  let left = burst;
  let atMs = nowMs();
  return {
    /** @param {number} amount */
    take(amount) {
      const now = nowMs();
      left = Math.min(burst, left + ((now - atMs) / 1000) * perSecond) - amount;
      atMs = now;
      return left >= 0 ? 0 : (-left / perSecond) * 1000;
    },
  };
}
