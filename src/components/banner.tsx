import type { AppModel } from '../app/model.ts';
import type { Capture } from '../capture/port.ts';
import { Button } from './button.tsx';
import { VerdictShape } from './marks.tsx';
import { useModel, useReader } from './model.ts';
import { useTrouble } from './trouble.ts';

/** Warnings about data at risk and a failed analysis, shown until the cause is gone. */
export function Banner() {
  const { capture, safety, saveFile } = useModel();
  const { t, say } = useReader();
  const refused = useTrouble().code.value;
  const journal = capture.journal.value;
  const { backupWanted } = safety;
  const analyst = t.analyst[capture.analyst.value];
  const code = journal.state === 'behind' ? journal.problem.code : refused;
  return (
    <div role="status" aria-live="polite">
      {code && (
        <div class="banner">
          <VerdictShape verdict="fault" />
          <p>
            {t.store[code]}{' '}
            {journal.state === 'behind' && say(t.storeBehind, { unsavedS: Math.max(1, journal.unsavedS) })}
          </p>
          {journal.state === 'behind' && (
            <Button onClick={() => void saveUnsaved(capture, saveFile)}>{t.storeSaveSamples}</Button>
          )}
        </div>
      )}
      {/* While samples wait, the banner above is the urgent one; two would cover the figures on a phone. */}
      {backupWanted.value && journal.state !== 'behind' && (
        <div class="banner">
          <VerdictShape verdict="fault" />
          <p>{t.backupWanted}</p>
          <a class="button" href="settings#data">
            {t.toBackupNow}
          </a>
        </div>
      )}
      {analyst && capture.analyst.value !== 'starting' && (
        <div class="banner mild">
          <VerdictShape verdict="watch" />
          <p>{analyst}</p>
        </div>
      )}
    </div>
  );
}

/** Downloads the samples still held in memory, one CSV file per take. */
async function saveUnsaved(capture: Capture, saveFile: AppModel['saveFile']): Promise<void> {
  const { writeTraceCsv } = await import('../../worker/file/csv/trace-csv.ts');
  for (const { take, trace } of capture.unsaved()) {
    const { cylinder, condition, hose, startedAt: recorded } = take;
    const header = { cylinder, condition, hose, recorded, geometry: {}, manual: {} };
    saveFile(writeTraceCsv(trace, header), `cylinder-${cylinder}-${condition}.csv`, 'text/csv');
  }
}
