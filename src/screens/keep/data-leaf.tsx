import { useEffect, useState } from 'preact/hooks';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Button, Leaf } from '../../components/pieces.tsx';
import { useTrouble } from '../../components/trouble.ts';
import { StorageReminder } from '../bench/storage-reminder.tsx';
import { backupFileName } from './session-files.ts';
import { SessionProblem } from './session-problem.tsx';
import { useImports } from './use-imports.ts';

/** All data out and in again, and how safe it is here. */
export function DataLeaf() {
  const { t } = useReader();
  // The browser looks for the place before this page has come.
  useEffect(() => {
    if (location.hash === '#data') document.querySelector('#data')?.scrollIntoView();
  }, []);
  return (
    <Leaf title={t.files.data} hint={t.files.dataHint} id="data">
      <div class="stack">
        <StorageReminder />
        <Backup />
        <BringIn />
        <p>
          <a class="button" href="/check">
            {t.files.check}
          </a>
        </p>
      </div>
    </Leaf>
  );
}

type BackupState =
  | { readonly state: 'idle' | 'nothing' }
  | { readonly state: 'working'; readonly share: number }
  | { readonly state: 'saved'; readonly n: number };

function Backup() {
  const { store, saveFile } = useModel();
  const { t, say } = useReader();
  const trouble = useTrouble();
  const [backup, setBackup] = useState<BackupState>({ state: 'idle' });
  const save = async () => {
    if (backup.state === 'working') return;
    setBackup({ state: 'working', share: 0 });
    const { exportBackup } = await import('../../store/session-transfer.ts');
    const savedAt = new Date().toISOString();
    const onProgress = (share: number) => setBackup({ state: 'working', share });
    const files = await trouble.attempt(exportBackup(store, { savedAt, onProgress }));
    for (const [i, file] of (files ?? []).entries()) {
      saveFile(file, backupFileName(savedAt, i, files!.length), 'application/json');
    }
    if (!files) setBackup({ state: 'idle' });
    else setBackup(files.length === 0 ? { state: 'nothing' } : { state: 'saved', n: files.length });
  };
  return (
    <div class="stack-tight">
      <Button onClick={() => void save()}>{t.files.backup}</Button>
      <p class="quiet">
        {t.files.backupWhat} {t.files.backupParts}
      </p>
      <p role="status">
        {backup.state === 'working' && say(t.files.working, { share: backup.share })}
        {backup.state === 'saved' && say(t.files.saved, { n: backup.n })}
        {backup.state === 'nothing' && t.files.nothing}
      </p>
    </div>
  );
}

function BringIn() {
  const { t, say } = useReader();
  const { outcomes, reading, choose } = useImports();
  return (
    <div class="stack-tight">
      <Button onClick={() => void choose()}>{t.files.bringIn}</Button>
      <p class="quiet">{t.files.bringInHint}</p>
      <div role="status">
        {outcomes.map((outcome) =>
          outcome.state === 'unread' ? (
            <SessionProblem key={outcome.fileName} fileName={outcome.fileName} problem={outcome.problem} />
          ) : (
            <div key={outcome.fileName} class="remark">
              <VerdictShape verdict="sound" />
              <p>
                {say(outcome.imported.added === 0 ? t.files.broughtNothing : t.files.brought, {
                  name: outcome.fileName,
                  ...outcome.imported,
                })}
              </p>
            </div>
          ),
        )}
        {reading !== null && <p>{say(t.files.reading, { name: reading })}</p>}
      </div>
    </div>
  );
}
