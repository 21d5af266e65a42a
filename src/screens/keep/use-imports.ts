import { useState } from 'preact/hooks';
import type { FileProblem } from '../../../worker/file/trace-file.ts';
import { useModel } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import type { Imported } from '../../store/session-transfer.ts';
import type { ReadSession } from './read-session.ts';
import { readSessionFile, SESSION_ACCEPT } from './session-files.ts';

export type ImportOutcome = { readonly fileName: string } & (
  | { readonly state: 'brought'; readonly imported: Imported }
  | { readonly state: 'unread'; readonly problem: FileProblem }
);

/** Brings session files into the store, one after the other. */
export function useImports() {
  const { store, bench, pickFiles } = useModel();
  const trouble = useTrouble();
  const [outcomes, setOutcomes] = useState<readonly ImportOutcome[]>([]);
  /** Name of the file being read. */
  const [reading, setReading] = useState<string | null>(null);

  const bringIn = async (read: ReadSession): Promise<ImportOutcome | null> => {
    const { fileName } = read;
    if (!read.ok) return { fileName, state: 'unread', problem: read.problem };
    const { importSession } = await import('../../store/session-transfer.ts');
    const imported = await trouble.attempt(importSession(store, read.session));
    return imported ? { fileName, state: 'brought', imported } : null;
  };

  const choose = async () => {
    const files = await pickFiles(SESSION_ACCEPT);
    if (files.length === 0) return;
    setOutcomes([]);
    for (const file of files) {
      setReading(file.name);
      const outcome = await bringIn(await readSessionFile(file));
      // The store refused, and the banner says why: the next file would fare no better.
      if (!outcome) break;
      setOutcomes((before) => [...before, outcome]);
    }
    setReading(null);
    bench.refilled();
  };

  return { outcomes, reading, choose };
}
