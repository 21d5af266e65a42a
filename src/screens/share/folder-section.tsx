import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { canChooseDirectory, chooseDirectory, mayWrite } from '../../platform/directory.ts';
import { forgetFolder, keepFolder, keptFolder } from '../../share/folder-memory.ts';
import type { ShareOutcome } from '../../share/share-work.ts';
import { ShareStatus } from './share.tsx';
import { useShare } from './use-share.ts';

/** A folder that the person's own synchronisation keeps on several devices. */
export function FolderSection() {
  const { t, say } = useReader();
  const { shares } = useModel();
  const share = useShare();
  const { loaded, reload } = useLoaded('folder', keptFolder);
  const [done, setDone] = useState<Extract<ShareOutcome, { kind: 'folder' }> | 'refused' | null>(null);
  const folder = loaded.state === 'ready' ? loaded.value : null;
  const choose = async () => {
    const handle = await chooseDirectory();
    if (!handle) return;
    await keepFolder(handle);
    reload();
    await use(handle);
  };
  const use = async (handle: FileSystemDirectoryHandle) => {
    setDone(null);
    if (!(await mayWrite(handle))) {
      setDone('refused');
      return;
    }
    const outcome = await share.run({ kind: 'folder' });
    if (outcome?.kind !== 'folder') return;
    shares.add('folder');
    setDone(outcome);
  };
  const forget = async () => {
    await forgetFolder();
    setDone(null);
    reload();
  };
  return (
    <Section title={t.share.folder} hint={t.share.folderHint}>
      <div class="stack">
        {folder ? (
          <>
            <p>{say(t.share.folderIs, { name: folder.handle.name })}</p>
            <div class="row">
              <Button onClick={() => void use(folder.handle)}>{t.share.folderUse}</Button>
              <Button kind="plain" onClick={() => void forget()}>
                {t.share.folderForget}
              </Button>
            </div>
          </>
        ) : canChooseDirectory() ? (
          <div>
            <Button onClick={() => void choose()}>{t.share.folderChoose}</Button>
          </div>
        ) : (
          <p>{t.share.folderNone}</p>
        )}
        <ShareStatus share={share}>
          {done === 'refused' && <p class="problem">{t.share.folderRefused}</p>}
          {done !== null && done !== 'refused' && (
            <>
              <p>
                {say(t.share.folderDone, {
                  read: done.filesRead,
                  written: done.filesWritten,
                  changed: done.changed,
                })}
              </p>
              {done.notWhole > 0 && <p>{say(t.share.folderNotWhole, { n: done.notWhole })}</p>}
            </>
          )}
        </ShareStatus>
      </div>
    </Section>
  );
}
