/** The documents on disk, in LevelDB: state and a summary for each. */
import { createHash } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { ClassicLevel } from 'classic-level';
import * as Y from 'yjs';

/**
 * @typedef {object} Summary
 * @property {string} digest of the state vector, as the app computes it
 * @property {number} bytes
 */

/** @param {Y.Doc} doc */
export const digestOf = (doc) =>
  createHash('sha256').update(Y.encodeStateVector(doc)).digest('hex').slice(0, 16);

/**
 * Opens the store. Rejects when another process has it open.
 * @param {string} folder
 */
export async function openLevelStore(folder) {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const level = new ClassicLevel(folder);
  await level.open();
  const states = level.sublevel('state', { valueEncoding: 'buffer' });
  const summaries = level.sublevel('summary', {});
  return {
    /** @returns {Promise<Map<string, Summary>>} */
    async summaries() {
      const entries = await summaries.iterator().all();
      return new Map(entries.map(([name, text]) => [name, JSON.parse(text)]));
    },
    /**
     * @param {string} name
     * @returns {Promise<Uint8Array | null>}
     */
    fetch: async (name) => (await states.get(name, { valueEncoding: 'buffer' })) ?? null,
    /**
     * Writes both or neither.
     * @param {string} name
     * @param {Uint8Array} state
     * @param {Summary} summary
     */
    store: (name, state, summary) =>
      level
        .batch()
        .put(name, Buffer.from(state), { sublevel: states, valueEncoding: 'buffer' })
        .put(name, JSON.stringify(summary), { sublevel: summaries })
        .write(),
    close: () => level.close(),
  };
}
