/** Checks each message before the merge server sees it. */
import * as decoding from 'lib0/decoding';
import * as Y from 'yjs';
import { LIMITS } from './limits.mjs';

/** Document without content, over which changes are announced. */
export const CATALOG = 'catalog';
const NAME = /^(?:engine|test)-[A-Za-z0-9_-]{1,64}$/;

/** Message types of the protocol that devices may send. */
const [SYNC, AUTH, SYNC_REPLY, CLOSE] = [0, 2, 4, 7];
/** Kinds of a sync message. */
const [STEP_1, STEP_2, UPDATE] = [0, 1, 2];

/** @param {string} name */
export const isDocumentName = (name) => name === CATALOG || NAME.test(name);

/**
 * The document of a message, and how many bytes it adds at most; `null` when the message is not allowed, such as
 * garbage that would be half applied.
 * @param {Uint8Array} message
 * @returns {{ name: string, added: number } | null}
 */
export function readMessage(message) {
  if (message.length > LIMITS.messageBytes) return null;
  try {
    const decoder = decoding.createDecoder(message);
    const name = decoding.readVarString(decoder);
    if (!isDocumentName(name)) return null;
    const type = decoding.readVarUint(decoder);
    if (type === AUTH || type === CLOSE) return message.length < 1000 ? { name, added: 0 } : null;
    if (type !== SYNC && type !== SYNC_REPLY) return null;
    const kind = decoding.readVarUint(decoder);
    const content = decoding.readVarUint8Array(decoder);
    if (kind === STEP_1) {
      Y.decodeStateVector(content);
      return { name, added: 0 };
    }
    if (kind !== STEP_2 && kind !== UPDATE) return null;
    const { structs, ds } = Y.decodeUpdate(content);
    const isEmpty = structs.length === 0 && ds.clients.size === 0;
    if (name === CATALOG && !isEmpty) return null;
    return { name, added: isEmpty ? 0 : content.length };
  } catch {
    return null;
  }
}
