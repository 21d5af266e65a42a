/**
 * The file that carries updates of documents from device to device, or says which ones a device has. Each entry has its own
 * digest, so that the whole entries of a file that was cut off can be used.
 *
 * ```
 * strokebook-exchange 1\n
 * {"kind":"updates","savedAt":"..."}\n
 * entries: length of the name (1 byte), name (ASCII), length of the content (uint32, little endian), SHA-256, content
 * end:     an entry named `end`: JSON, see `ExchangeEnd`
 * ```
 */
import { digest } from 'lib0/hash/sha256';

const MAGIC = 'strokebook-exchange 1\n';
const END = 'end';
/** Longest content of one entry, bytes. */
const MAX_ENTRY_BYTES = 64e6;
const MAX_HEAD_BYTES = 1000;
/** Bytes read at a time. */
const PIECE_BYTES = 4e6;

/** `updates`: changes of documents. `have`: state vectors of the documents that a device has. */
export type ExchangeKind = 'updates' | 'have';

/** Last entry: what the library of the sender holds, for the check after the file was taken in. */
export interface ExchangeEnd {
  readonly entries: number;
  readonly engineIds: readonly string[];
  /** Fingerprint of each test; `null` where the browser has no SHA-256. */
  readonly tests: Readonly<Record<string, string | null>>;
}

export interface ExchangeEntry {
  readonly name: string;
  readonly content: Uint8Array;
}

export type ExchangeItem =
  | ({ readonly kind: 'entry' } & ExchangeEntry)
  | { readonly kind: 'end'; readonly end: ExchangeEnd }
  /**
   * `not-ours`: no such file, or of a newer version. `damaged`: an entry was altered, and what follows cannot be trusted.
   * `cut-off`: the end is missing.
   */
  | { readonly kind: 'problem'; readonly problem: 'not-ours' | 'damaged' | 'cut-off' };

const encode = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);

export const exchangeHead = (kind: ExchangeKind, savedAt: string): Uint8Array<ArrayBuffer> =>
  encode(`${MAGIC}${JSON.stringify({ kind, savedAt })}\n`);

/** One entry. `name`: ASCII, at most 100 characters. */
export function exchangeEntry({ name, content }: ExchangeEntry): Uint8Array<ArrayBuffer> {
  const nameBytes = encode(name);
  const bytes = new Uint8Array(1 + nameBytes.length + 4 + 32 + content.length);
  bytes[0] = nameBytes.length;
  bytes.set(nameBytes, 1);
  const at = 1 + nameBytes.length;
  new DataView(bytes.buffer).setUint32(at, content.length, true);
  bytes.set(digest(content), at + 4);
  bytes.set(content, at + 36);
  return bytes;
}

export const exchangeEnd = (end: ExchangeEnd): Uint8Array<ArrayBuffer> =>
  exchangeEntry({ name: END, content: encode(JSON.stringify(end)) });

/** Reads a file in order, with at most one entry in memory. The last item is the end or a problem. */
export async function* readExchange(file: Blob, kind: ExchangeKind): AsyncGenerator<ExchangeItem, void> {
  const head = await textAt(file, 0, MAX_HEAD_BYTES);
  const lineEnd = head.indexOf('\n', MAGIC.length);
  if (!head.startsWith(MAGIC) || lineEnd < 0 || kindIn(head.slice(MAGIC.length, lineEnd)) !== kind) {
    yield { kind: 'problem', problem: 'not-ours' };
    return;
  }
  const read = reader(file, encode(head.slice(0, lineEnd + 1)).length);
  let entries = 0;
  for (;;) {
    const nameLength = await read(1);
    const name = nameLength && (await read(nameLength[0] ?? 0));
    const sizes = name && (await read(36));
    if (!name || !sizes) break;
    const length = new DataView(sizes.buffer, sizes.byteOffset).getUint32(0, true);
    if (length > MAX_ENTRY_BYTES) {
      yield { kind: 'problem', problem: 'damaged' };
      return;
    }
    const content = await read(length);
    if (!content) break;
    if (!digest(content).every((byte, i) => byte === sizes[4 + i])) {
      yield { kind: 'problem', problem: 'damaged' };
      return;
    }
    const text = new TextDecoder().decode(name);
    if (text === END) {
      const end = endIn(content);
      yield end?.entries === entries ? { kind: 'end', end } : { kind: 'problem', problem: 'damaged' };
      return;
    }
    entries++;
    yield { kind: 'entry', name: text, content };
  }
  yield { kind: 'problem', problem: 'cut-off' };
}

const textAt = async (file: Blob, from: number, length: number): Promise<string> =>
  new TextDecoder('latin1').decode(await file.slice(from, from + length).arrayBuffer());

/** Returns the next bytes, a copy; `null` when the file ends before. */
function reader(file: Blob, from: number): (length: number) => Promise<Uint8Array | null> {
  let piece = new Uint8Array();
  let at = 0;
  let next = from;
  return async (length) => {
    if (at + length > piece.length) {
      const left = piece.subarray(at);
      const wanted = Math.max(PIECE_BYTES, length - left.length);
      const more = new Uint8Array(await file.slice(next, next + wanted).arrayBuffer());
      next += more.length;
      piece = new Uint8Array(left.length + more.length);
      piece.set(left);
      piece.set(more, left.length);
      at = 0;
    }
    if (length > piece.length - at) return null;
    const bytes = piece.slice(at, at + length);
    at += length;
    return bytes;
  };
}

function kindIn(line: string): unknown {
  try {
    return (JSON.parse(line) as { kind?: unknown } | null)?.kind;
  } catch {
    return undefined;
  }
}

function endIn(content: Uint8Array): ExchangeEnd | null {
  try {
    const value = JSON.parse(new TextDecoder().decode(content)) as ExchangeEnd;
    const isEnd = Array.isArray(value.engineIds) && typeof value.tests === 'object' && value.tests !== null;
    return isEnd ? value : null;
  } catch {
    return null;
  }
}
