import type { Clock, KeyValueStorage } from './ports.ts';

const PLACE = 'strokebook-shares';
const MOST = 30;

/** With what this device shared its library, and when: without names of folders, files or people. */
export interface ShareLog {
  /** `what`: such as `folder` or the address of a shared library. The same again replaces the last time. */
  add(what: string): void;
  /** Newest last. */
  lines(): readonly string[];
}

export function createShareLog(storage: KeyValueStorage, clock: Pick<Clock, 'wallTime'>): ShareLog {
  const lines = (): readonly string[] =>
    (storage.read(PLACE) ?? '').split('\n').filter((line) => line !== '');
  return {
    add(what) {
      const others = lines().filter((line) => !line.endsWith(`Z ${what}`));
      const now = `${clock.wallTime().slice(0, 19)}Z ${what}`;
      storage.write(PLACE, [...others, now].slice(-MOST).join('\n'));
    },
    lines,
  };
}
