import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { canShareFile, shareFile } from '../../platform/share.ts';
import { StorageReminder } from '../engines/storage-reminder.tsx';
import { sessionFileName } from './read-session-file.ts';
import { useTransfer } from './use-transfer.ts';

/** The whole test as one file, to download or send, with a note on how safe the storage is. */
export function SessionSection({ loaded: { engine, test } }: { loaded: LoadedTest }) {
  const { saveFile } = useModel();
  const { t } = useReader();
  const transfer = useTransfer();
  const name = sessionFileName(engine, test);
  const save = async (isShared: boolean) => {
    if (transfer.progress) return;
    const savedAt = new Date().toISOString();
    const outcome = await transfer.run({ kind: 'session', engineId: engine.id, testId: test.id, savedAt });
    if (outcome.state !== 'written' || !outcome.file) return;
    // Browsers share no JSON.
    if (isShared && (await shareFile(outcome.file, `${name}.txt`)) !== 'refused') return;
    saveFile(outcome.file, name, 'application/json');
  };
  return (
    <Section title={t.files.session} hint={t.files.sessionHint}>
      <div class="stack">
        <div class="row">
          <Button onClick={() => void save(false)}>{t.files.saveSession}</Button>
          {canShareFile(`${name}.txt`) && (
            <Button onClick={() => void save(true)}>{t.files.shareSession}</Button>
          )}
        </div>
        <StorageReminder brief />
      </div>
    </Section>
  );
}

/** Link to the report of the test. */
export function ReportSection({ loaded: { test } }: { loaded: LoadedTest }) {
  const { t } = useReader();
  return (
    <Section title={t.report.open} hint={t.report.openHint}>
      <a class="button" href={`tests/${test.id}/report`}>
        {t.report.toReport}
      </a>
    </Section>
  );
}
