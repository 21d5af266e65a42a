/** Sends raw messages to a shared library, as no device of ours would. */
import * as encoding from 'lib0/encoding';
import WebSocket from 'ws';
import * as Y from 'yjs';

/** An update message of the protocol. `update`: any bytes. */
export function updateMessage(name: string, update: Uint8Array): Uint8Array {
  const encoder = encoding.createEncoder();
  encoding.writeVarString(encoder, name);
  encoding.writeVarUint(encoder, 0);
  encoding.writeVarUint(encoder, 2);
  encoding.writeVarUint8Array(encoder, update);
  return encoding.toUint8Array(encoder);
}

function authMessage(name: string, token: string): Uint8Array {
  const encoder = encoding.createEncoder();
  encoding.writeVarString(encoder, name);
  encoding.writeVarUint(encoder, 2);
  encoding.writeVarUint(encoder, 0);
  encoding.writeVarString(encoder, token);
  return encoding.toUint8Array(encoder);
}

/** An update that writes `bytes` bytes into a document. */
export function largeUpdate(bytes: number): Uint8Array {
  const doc = new Y.Doc();
  doc.getMap('samples').set('x', new Uint8Array(bytes));
  return Y.encodeStateAsUpdate(doc);
}

export interface HostileClient {
  readonly socket: WebSocket;
  /** Resolves with `closed` once the server has ended the connection, or with `open` after `withinMs`. */
  ended(withinMs: number): Promise<'closed' | 'open'>;
}

/** Opens a connection with a token, and the document `name` in it. Rejects when it is refused. */
export async function connectHostile(url: string, token: string, name: string): Promise<HostileClient> {
  const address = new URL('shared-library/socket', url).href.replace('http', 'ws');
  const socket = new WebSocket(address, ['strokebook-share', token], { perMessageDeflate: false });
  let isClosed = false;
  socket.on('close', () => {
    isClosed = true;
  });
  await new Promise((resolve, reject) => socket.on('open', resolve).on('error', reject));
  socket.on('error', () => undefined);
  socket.send(authMessage(name, token));
  return {
    socket,
    async ended(withinMs) {
      const untilMs = performance.now() + withinMs;
      while (!isClosed && performance.now() < untilMs)
        await new Promise((resolve) => setTimeout(resolve, 20));
      return isClosed ? 'closed' : 'open';
    },
  };
}
