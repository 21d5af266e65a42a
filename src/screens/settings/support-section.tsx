import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { receivedNotes } from '../../platform/received-log.ts';
import { rememberedCables } from '../../sources/serial/remembered.ts';
import { storageHealth } from '../../store/health.ts';
import { browserFeatures } from './browser-features.ts';
import { supportReport } from './support-report.ts';

/** The report to send with a fault. */
export function SupportSection() {
  const { capture, store, storage: kept, updates, shares, log } = useModel();
  const { t } = useReader();
  const [copied, setCopied] = useState<boolean | null>(null);
  const { loaded, reload } = useLoaded('support', async () => {
    const [features, storage, counts] = await Promise.all([
      browserFeatures(store.engines),
      storageHealth(),
      store.counts().catch(() => null),
    ]);
    return supportReport({
      version: updates.version,
      userAgent: navigator.userAgent,
      features,
      storage,
      counts,
      journal: capture.journal.peek(),
      analyst: capture.analyst.peek(),
      meters: capture.meters(),
      cables: rememberedCables(kept),
      received: receivedNotes(kept),
      connection: capture.connectionLog(),
      shares: shares.lines(),
      errors: log.lines(),
    });
  });
  const report = loaded.state === 'ready' ? loaded.value : '';
  const copy = async () => {
    reload();
    setCopied(
      await navigator.clipboard.writeText(report).then(
        () => true,
        () => false,
      ),
    );
  };
  return (
    <Section title={t.support.title} hint={t.support.hint} id="support">
      <div class="stack">
        <textarea class="support-report" readOnly rows={10} aria-label={t.support.title} value={report} />
        <Button onClick={() => void copy()}>{t.support.copy}</Button>
        <p>
          <a class="link-line" href="licences.txt" target="_blank" rel="noopener">
            {t.support.licences}
          </a>
        </p>
        <p role="status">{copied === null ? '' : copied ? t.support.copied : t.support.notCopied}</p>
      </div>
    </Section>
  );
}
