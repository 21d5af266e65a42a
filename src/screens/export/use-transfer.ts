import { useEffect, useRef, useState } from 'preact/hooks';
import { useModel } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import { startTransfer } from './transfer-client.ts';
import type { TransferOutcome, TransferProgress, TransferRequest } from './transfer-work.ts';

export type TransferEnd =
  | TransferOutcome
  /** Ended by the person, or refused by the store, which the banner says. `added`: what an import had brought in by then. */
  | { readonly state: 'cancelled' | 'refused'; readonly added: number };

export interface Transfer {
  /** `null` when none is under way. */
  readonly progress: TransferProgress | null;
  run(request: TransferRequest): Promise<TransferEnd>;
  cancel(): void;
}

/** What is told before the first word comes. */
const BEGUN: Readonly<Record<TransferRequest['kind'], TransferProgress>> = {
  backup: { state: 'writing', done: 0, all: 0, bytes: 0 },
  session: { state: 'writing', done: 0, all: 0, bytes: 0 },
  'bring-in': { state: 'checking', added: 0, share: 0 },
};

/** One file at a time, out of the store or into it. It ends with the page that shows it: nothing goes on unseen. */
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
      const tell = (told: TransferProgress): void => {
        if (told.state !== 'writing') added = told.added;
        setProgress(told);
      };
      const what = `transfer ${request.kind}`;
      const outcome = await trouble.attempt(
        startTransfer({ store, log }, request, tell, control.signal),
        what,
      );
      if (outcome && 'problem' in outcome && outcome.problem) log.add(what, outcome.problem);
      setProgress(null);
      return outcome ?? { state: control.signal.aborted ? 'cancelled' : 'refused', added };
    },
    cancel: () => ending.current?.abort(),
  };
}
