import { useEffect, useRef, useState } from 'preact/hooks';
import { useModel } from '../../components/model.ts';
import { startShare } from '../../share/share-client.ts';
import type { ShareOutcome, ShareRequest } from '../../share/share-work.ts';

export interface Share {
  /** `null` when nothing runs. */
  readonly progress: { readonly done: number; readonly all: number } | null;
  /** Why the last request failed; `null`: it did not. */
  readonly failure: string | null;
  /** `null` when it failed or was left. */
  run(request: ShareRequest): Promise<ShareOutcome | null>;
}

/** Runs one request at a time. Leaving the page ends it. */
export function useShare(): Share {
  const { library, log, safety } = useModel();
  const [progress, setProgress] = useState<Share['progress']>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const ending = useRef<AbortController | null>(null);
  useEffect(() => () => ending.current?.abort(), []);
  return {
    progress,
    failure,
    async run(request) {
      if (progress) return null;
      const control = new AbortController();
      ending.current = control;
      setFailure(null);
      setProgress({ done: 0, all: 0 });
      try {
        const outcome = await startShare(request, setProgress, control.signal);
        if (outcome.kind === 'taken-in') safety.beginAgain();
        return outcome;
      } catch (cause) {
        if (control.signal.aborted) return null;
        log.add(`share ${request.kind}`, cause);
        setFailure(cause instanceof Error ? cause.message : String(cause));
        return null;
      } finally {
        if (!control.signal.aborted) setProgress(null);
        library.refilled();
      }
    },
  };
}
