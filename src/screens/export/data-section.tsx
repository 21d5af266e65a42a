import { useEffect, useState } from 'preact/hooks';
import type { FileProblem } from '../../../worker/file/csv/trace-file.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { StorageReminder } from '../engines/storage-reminder.tsx';
import { useImports } from '../recordings/use-imports.ts';
import { ImportRemark } from './import-remark.tsx';
import { backupFileName } from './read-session-file.ts';
import { TransferBar } from './transfer-progress.tsx';
import { useTransfer } from './use-transfer.ts';

/** Backup and restore of all data, and how safe the storage is. */
export function DataSection() {
  const { t } = useReader();
  // The browser scrolls to the anchor before this chunk has loaded.
  useEffect(() => {
    if (location.hash === '#data') document.querySelector('#data')?.scrollIntoView();
  }, []);
  return (
    <Section title={t.files.data} hint={t.files.dataHint} id="data">
      <div class="stack">
        <StorageReminder />
        <Backup />
        <BringIn />
        <p>
          <a class="button" href="check">
            {t.files.check}
          </a>
        </p>
        <p class="quiet">{t.share.settingsHint}</p>
        <p>
          <a class="button" href="share">
            {t.share.open}
          </a>
        </p>
      </div>
    </Section>
  );
}

type Saved = { readonly bytes: number; readonly problem?: FileProblem | undefined } | 'nothing';

function Backup() {
  const { saveFile, safety } = useModel();
  const { t, say } = useReader();
  const transfer = useTransfer();
  const [end, setEnd] = useState<Saved | 'cancelled' | null>(null);
  const save = async () => {
    if (transfer.progress) return;
    setEnd(null);
    const savedAt = new Date().toISOString();
    const outcome = await transfer.run({ kind: 'backup', savedAt });
    if (outcome.state === 'cancelled') setEnd('cancelled');
    if (outcome.state !== 'written') return;
    const { file, problem } = outcome;
    if (file) saveFile(file, backupFileName(savedAt), 'application/json');
    if (file && !problem) safety.backupSaved();
    setEnd(file ? { bytes: file.size, problem } : 'nothing');
  };
  return (
    <div class="stack-tight">
      <Button onClick={() => void save()}>{t.files.backup}</Button>
      <p class="quiet">{t.files.backupWhat}</p>
      <TransferBar transfer={transfer} name={t.files.backupName} />
      <p role="status">
        {end === 'nothing'
          ? t.files.nothing
          : end === 'cancelled'
            ? t.files.cancelled
            : end && !end.problem && say(t.files.saved, { size: end.bytes / 1e6 })}
      </p>
      {end !== null && typeof end === 'object' && end.problem && (
        <p class="problem" role="alert">
          {say(t.files.notReadBack, { detail: end.problem.detail })}
        </p>
      )}
    </div>
  );
}

function BringIn() {
  const { t } = useReader();
  const { outcomes, fileName, transfer, choose } = useImports();
  return (
    <div class="stack-tight">
      <Button onClick={() => void choose()}>{t.files.bringIn}</Button>
      <p class="quiet">{t.files.bringInHint}</p>
      <TransferBar transfer={transfer} name={fileName} />
      <div role="status">
        {outcomes.map(({ fileName: name, end }) => (
          <ImportRemark key={name} fileName={name} end={end} />
        ))}
      </div>
    </div>
  );
}
