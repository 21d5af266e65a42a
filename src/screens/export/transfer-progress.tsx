import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import type { Transfer } from './use-transfer.ts';

const MB = 1e6;
/** Steps in which screen readers get the progress, as a fraction. */
const ANNOUNCE_EVERY = 0.25;

interface TransferBarProps {
  transfer: Transfer;
  /** Name of the file. */
  name: string;
}

/** Progress of a transfer as text and bar, with a cancel button. */
export function TransferBar({ transfer: { progress, cancel }, name }: TransferBarProps) {
  const { t, say } = useReader();
  if (!progress) return null;
  const share =
    progress.state !== 'writing' ? progress.share : progress.all === 0 ? null : progress.done / progress.all;
  const words =
    progress.state === 'writing'
      ? say(t.files.writing, { done: progress.done, all: progress.all, size: progress.bytes / MB })
      : say(t.files[progress.state], { name, share: progress.share, added: progress.added });
  const announcedShare = Math.floor((share ?? 0) / ANNOUNCE_EVERY) * ANNOUNCE_EVERY;
  return (
    <div class="stack-tight">
      <progress aria-label={name} value={share ?? undefined} max={1} />
      <p>{words}</p>
      <p class="quiet">{t.files.stayHere}</p>
      <p class="visually-hidden" role="status">
        {say(t.files.soFar, { name, share: announcedShare })}
      </p>
      <div>
        <Button onClick={cancel}>{t.app.cancel}</Button>
      </div>
    </div>
  );
}
