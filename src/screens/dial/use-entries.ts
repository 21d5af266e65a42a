import { useRef } from 'preact/hooks';
import type { DisplayUnit } from '../../../worker/core/units.ts';
import { useDraft } from '../../components/use-draft.ts';

/** Typed text of one reading: final figure, and figures of each stroke. */
export interface Entry {
  readonly final: string;
  readonly strokes: string;
}

type Drafts = Readonly<Record<string, Entry & { readonly unit: DisplayUnit }>>;

/** Unsaved text by reading, so that changing to another cylinder loses nothing. Text typed in another unit is ignored. */
export function useEntries(testId: string) {
  const draft = useDraft<Drafts>(`dial ${testId}`, () => ({}));
  const latest = useRef(draft.value);
  latest.current = draft.value;
  const write = (next: Drafts) => {
    latest.current = next;
    draft.set(next);
  };
  return {
    /** `null` when nothing was typed. */
    get(key: string, unit: DisplayUnit): Entry | null {
      const entry = latest.current[key];
      return entry?.unit === unit ? entry : null;
    },
    set: (key: string, entry: Entry, unit: DisplayUnit) =>
      write({ ...latest.current, [key]: { ...entry, unit } }),
    forget(key: string) {
      const { [key]: _, ...others } = latest.current;
      write(others);
    },
  };
}
