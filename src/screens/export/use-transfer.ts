import { useEffect, useRef, useState } from 'preact/hooks';
import { useModel } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import { startTransfer } from './transfer-client.ts';
import type { TransferOutcome, TransferProgress, TransferRequest } from './transfer-work.ts';

export type TransferEnd =
  | TransferOutcome
  /**
   * Cancelled by the user, or refused by the store; then the banner shows why. `added`: number of tests already
   * imported.
   */
  | { readonly state: 'cancelled' | 'refused'; readonly added: number };

export interface Transfer {
  /** `null` when no transfer is running. */
  readonly progress: TransferProgress | null;
  run(request: TransferRequest): Promise<TransferEnd>;
  cancel(): void;
}

/** Progress before the first report. */
const BEGUN: Readonly<Record<TransferRequest['kind'], TransferProgress>> = {
  backup: { state: 'writing', done: 0, all: 0, bytes: 0 },
  session: { state: 'writing', done: 0, all: 0, bytes: 0 },
  'bring-in': { state: 'checking', added: 0, share: 0 },
};

/** Runs one transfer at a time. Leaving the page aborts it, so that nothing runs unseen. */
export function useTransfer(): Transfer {
  const { store, log } = useModel();
  const trouble = useTrouble();
  const [progress, setProgress] = useState<TransferProgress | null>(null);
  const ending = useRef<AbortController | null>(null);
  useEffect(() => () => ending.current?.abort(), []);
  return {
    progress,
    async run(request) {
      const control = new AbortController();
      ending.current = control;
      setProgress(BEGUN[request.kind]);
      let added = 0;
      const report = (next: TransferProgress): void => {
        if (next.state !== 'writing') added = next.added;
        setProgress(next);
      };
      const what = `transfer ${request.kind}`;
      const outcome = await trouble.attempt(
        startTransfer({ store, log }, request, report, control.signal),
        what,
      );
      if (outcome && 'problem' in outcome && outcome.problem) log.add(what, outcome.problem);
      setProgress(null);
      return outcome ?? { state: control.signal.aborted ? 'cancelled' : 'refused', added };
    },
    cancel: () => ending.current?.abort(),
  };
}
