import { useSignalEffect } from '@preact/signals';
import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { NoticeShape } from '../../components/remarks.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { openQuestion, requestPersistence, storageHealth } from '../../store/health.ts';

const MB = 1e6;

/**
 * Whether the browser may delete stored data, with a button to prevent it. `brief`: nothing when the data is protected.
 */
export function StorageReminder({ brief = false }: { brief?: boolean }) {
  const { store } = useModel();
  const { t, say } = useReader();
  // A browser may grant persistence although its database cannot be read, so both are checked.
  const { loaded, reload } = useLoaded('health', async () => {
    await store.engines();
    return storageHealth();
  });
  /** Result of the request made here; `null` before it. */
  const [promised, setPromised] = useState<boolean | null>(null);
  // The app also requests persistence by itself after the first capture.
  const question = openQuestion.value;
  useSignalEffect(() => {
    void openQuestion.value?.then(reload);
  });
  if (loaded.state === 'failed' && !brief) {
    return <StoreFailure code={loaded.problem.code} lead={t.engines.unreadableEngines} />;
  }
  if (loaded.state !== 'ready') return null;
  const { persistent, usedBytes, quotaBytes } = loaded.value;
  if (brief && persistent === true) return null;
  const protect = async () => {
    setPromised((await requestPersistence()) === true);
  };
  const words = persistent === null ? t.files.notTold : persistent ? t.files.kept : t.files.mayBeCleared;
  return (
    <div class="stack-tight">
      <div class="remark">
        <NoticeShape severity={persistent ? 'note' : 'warning'} />
        <p>{words}</p>
      </div>
      {!brief && usedBytes !== null && (
        <p class="quiet">
          {say(t.files.room, {
            used: usedBytes / MB,
            quota: quotaBytes === null ? undefined : quotaBytes / MB,
          })}
        </p>
      )}
      {persistent === false && promised === null && !question && (
        <Button onClick={() => void protect()}>{t.settings.protect}</Button>
      )}
      {brief && (
        <p>
          <a class="link-line" href="settings#data">
            {t.files.toBackup}
          </a>
        </p>
      )}
      <p role="status">
        {question
          ? t.files.asking
          : promised !== null && (promised ? t.files.protectedNow : t.files.notProtected)}
      </p>
    </div>
  );
}
