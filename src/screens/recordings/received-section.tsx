import { useEffect, useRef, useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { onFilesOpenedWith, type ReceivedFiles, receivedFiles } from '../../platform/received-files.ts';
import { noteReceived } from '../../platform/received-log.ts';

/**
 * Files from outside. Those opened with the installed app are read at once. Those from the share sheet wait for a press,
 * because any page can post files to this address.
 */
export function ReceivedSection({ open }: { open: (files: readonly File[]) => Promise<void> }) {
  const { storage } = useModel();
  const { t, say } = useReader();
  const [received, setReceived] = useState<ReceivedFiles | null>(null);
  const [state] = useState(() => new URLSearchParams(location.search).get('received'));
  const opening = useRef(open);
  opening.current = open;
  useEffect(() => {
    void receivedFiles().then(setReceived);
    onFilesOpenedWith((files) => {
      noteReceived(storage, files, 'open with', new Date().toISOString());
      void opening.current(files);
    });
  }, [storage]);
  const take = async (isWanted: boolean) => {
    const files = received?.files ?? [];
    setReceived(null);
    if (isWanted) {
      noteReceived(storage, files, 'share sheet', new Date().toISOString());
      await open(files);
    }
    await received?.remove();
  };
  const count = received?.files.length ?? 0;
  return (
    <>
      {state === 'failed' && <p role="alert">{t.open.receiveFailed}</p>}
      {state === 'some' && <p role="alert">{t.open.receivedSome}</p>}
      {count > 0 && (
        <Section title={t.open.received} hint={t.open.receivedHint}>
          <ul>
            {received?.files.map((file, i) => (
              <li key={i}>{say(t.open.receivedFile, { name: file.name, size: file.size / 1e6 })}</li>
            ))}
          </ul>
          <div class="row">
            <Button onClick={() => void take(true)}>{t.open.receive}</Button>
            <Button kind="plain" onClick={() => void take(false)}>
              {t.open.discard}
            </Button>
          </div>
        </Section>
      )}
    </>
  );
}
