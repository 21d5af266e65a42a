import type { KeyValueStorage } from './ports.ts';

/** A file that came from outside. Its name is not kept, since it may name a customer. */
export interface ReceivedNote {
  /** By the share sheet, or opened with the installed app. */
  readonly by: 'share sheet' | 'open with';
  /** Ending of its name, at most 10 characters. */
  readonly ending: string;
  readonly bytes: number;
  /** ISO 8601. */
  readonly at: string;
}

const KEY = 'strokebook-received';
/** The oldest go first. */
const MOST = 20;

/** Files received, newest first. Entries of another form are left out. */
export function receivedNotes(storage: KeyValueStorage): readonly ReceivedNote[] {
  try {
    const list: unknown = JSON.parse(storage.read(KEY) ?? '[]');
    return Array.isArray(list) ? list.filter(isNote) : [];
  } catch {
    return [];
  }
}

/** Notes that these files were received at `at`. */
export function noteReceived(
  storage: KeyValueStorage,
  files: readonly Pick<File, 'name' | 'size'>[],
  by: ReceivedNote['by'],
  at: string,
): void {
  const notes = files.map(({ name, size }) => ({ by, ending: endingOf(name), bytes: size, at }));
  storage.write(KEY, JSON.stringify([...notes, ...receivedNotes(storage)].slice(0, MOST)));
}

const endingOf = (name: string): string => /\.([a-z0-9]{1,10})$/i.exec(name)?.[1]?.toLowerCase() ?? '';

function isNote(value: unknown): value is ReceivedNote {
  if (typeof value !== 'object' || value === null) return false;
  const { by, ending, bytes, at } = value as Partial<Record<keyof ReceivedNote, unknown>>;
  return (
    (by === 'share sheet' || by === 'open with') &&
    typeof ending === 'string' &&
    typeof bytes === 'number' &&
    typeof at === 'string'
  );
}
