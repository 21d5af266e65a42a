import type { KeyValueStorage } from '../platform/ports.ts';
import type { Merge } from '../store/port.ts';

const KEY = 'strokebook-merges';
/** Merges that can be undone. A merge takes about 1 kB. */
const MOST = 20;

/** A merge with its time, ISO 8601. */
export interface DatedMerge extends Merge {
  readonly mergedAt: string;
}

/** Merges of engines that can still be undone, kept across visits. */
export interface MergeLog {
  /** Newest first. */
  all(): readonly DatedMerge[];
  add(merge: DatedMerge): void;
  drop(merge: DatedMerge): void;
}

/** Without `storage`, or where it is blocked, the log lasts as long as the page. */
export function createMergeLog(storage?: KeyValueStorage): MergeLog {
  let memory: readonly DatedMerge[] = [];
  const all = (): readonly DatedMerge[] => {
    const text = storage?.read(KEY) ?? null;
    return text === null ? memory : parse(text);
  };
  const write = (merges: readonly DatedMerge[]): void => {
    memory = merges.slice(0, MOST);
    storage?.write(KEY, JSON.stringify(memory));
  };
  return {
    all,
    add: (merge) => write([merge, ...all()]),
    drop: (merge) => write(all().filter(({ gone }) => gone.id !== merge.gone.id)),
  };
}

function parse(text: string): readonly DatedMerge[] {
  try {
    const value: unknown = JSON.parse(text);
    return Array.isArray(value) ? (value as DatedMerge[]) : [];
  } catch {
    return [];
  }
}
