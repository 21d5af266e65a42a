import { useState } from 'preact/hooks';
import { useModel } from '../../components/model.ts';
import { SESSION_ACCEPT } from '../export/read-session-file.ts';
import { type Transfer, type TransferEnd, useTransfer } from '../export/use-transfer.ts';

export interface ImportEnd {
  readonly fileName: string;
  readonly end: Exclude<TransferEnd, { readonly state: 'written' }>;
}

interface Imports {
  readonly outcomes: readonly ImportEnd[];
  /** Name of the file being imported. */
  readonly fileName: string;
  readonly transfer: Transfer;
  /** Imports these files. */
  bringIn(files: readonly File[]): Promise<void>;
  /** Opens the file dialog and imports the chosen files. */
  choose(): Promise<void>;
}

/** Imports session files one after the other. */
export function useImports(): Imports {
  const { library, pickFiles, safety } = useModel();
  const transfer = useTransfer();
  const [outcomes, setOutcomes] = useState<readonly ImportEnd[]>([]);
  const [fileName, setFileName] = useState('');

  const bringIn = async (files: readonly File[]) => {
    if (transfer.progress || files.length === 0) return;
    setOutcomes([]);
    for (const file of files) {
      setFileName(file.name);
      const end = await transfer.run({ kind: 'bring-in', file });
      if (end.state === 'written') continue;
      if (end.state === 'brought') safety.beginAgain();
      setOutcomes((before) => [...before, { fileName: file.name, end }]);
      // Stops at the first refusal, because the next file would fail too, and on cancel, which applies to all files.
      if (end.state === 'refused' || end.state === 'cancelled') break;
    }
    library.refilled();
  };

  const choose = async () => {
    if (!transfer.progress) await bringIn(await pickFiles(SESSION_ACCEPT));
  };

  return { outcomes, fileName, transfer, bringIn, choose };
}
