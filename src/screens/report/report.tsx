import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { plainFileName } from '../../format/file-name.ts';
import type { LoadedTest } from '../../library/library.ts';
import { GARAGE_LIMITS } from '../../platform/garage.ts';
import { canShareFile, shareFile } from '../../platform/share.ts';
import { storedFingerprint } from '../../store/fingerprint.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';
import { StoredTest } from '../compression-test/stored-test.tsx';
import { reportContent } from './content.ts';
import { ReportSheet } from './sheet.tsx';
import { reportText } from './text.ts';

/** The report of a test, to print or share. Controls around the sheet are not printed. */
export function ReportScreen() {
  const { params } = useRoute();
  return (
    <StoredTest testId={params.testId ?? ''}>
      {(loaded) =>
        loaded.counting.dry.size + loaded.counting.wet.size === 0 ? (
          <NothingToReport loaded={loaded} />
        ) : (
          <Report loaded={loaded} />
        )
      }
    </StoredTest>
  );
}

function NothingToReport({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  return (
    <Page>
      <PageHead title={t.report.open} over={<EngineLine loaded={loaded} />}>
        <p>{t.report.empty}</p>
      </PageHead>
      <div class="action">
        <a class="button main" href={`tests/${loaded.test.id}/crank`}>
          {t.results.toCrank}
        </a>
      </div>
    </Page>
  );
}

function Report({ loaded }: { loaded: LoadedTest }) {
  const { store, settings } = useModel();
  const reader = useReader();
  const { t } = reader;
  const { measuredBy: by, garage } = settings.values.value;
  const [openedAt] = useState(() => new Date().toISOString());
  const madeAt = reader.dateTime(openedAt);
  // The page's base is the folder of the app, wherever it is served from.
  const checkAddress = new URL('check', document.baseURI).href;
  const takes = loaded.takes.map(({ take }) => take);
  // Everything the fingerprint may cover except the samples, which never change.
  const key = JSON.stringify([loaded.test, takes]);
  const { loaded: made } = useLoaded(key, () => storedFingerprint(store, loaded.test, takes));
  const { loaded: plugs } = useLoaded(loaded.engine.id, () => store.plugs(loaded.engine.id));
  const content = reportContent(loaded, plugs.state === 'ready' ? plugs.value : [], reader);
  const fingerprint = made.state === 'ready' ? made.value : undefined;
  const failed = [made, plugs].find((one) => one.state === 'failed');
  return (
    <Page kind="report">
      <div class="around">
        <p>
          <a class="link-line" href={`tests/${loaded.test.id}/keep`}>
            {t.report.back}
          </a>
        </p>
        <div class="row">
          <Button kind="main" onClick={() => print()}>
            {t.report.print}
          </Button>
        </div>
        <Field
          label={t.report.by}
          hint={t.report.byHint}
          value={by}
          most={GARAGE_LIMITS.line}
          onInput={(measuredBy) => settings.change({ measuredBy })}
        />
        {failed && (
          <p class="problem" role="alert">
            {t.storeRead[failed.problem.code]}
          </p>
        )}
      </div>
      <ReportSheet
        content={content}
        loaded={loaded}
        by={by.trim()}
        fingerprint={fingerprint}
        madeAt={madeAt}
        checkAddress={checkAddress}
      />
      <div class="around">
        <TextSection
          title={content.title}
          text={reportText(
            content,
            { garage, by: by.trim(), fingerprint: fingerprint ?? null, madeAt, checkAddress },
            reader,
          )}
        />
      </div>
    </Page>
  );
}

/** The report as text: to copy, share or select. */
function TextSection({ title, text }: { title: string; text: string }) {
  const { saveFile } = useModel();
  const { t } = useReader();
  const [said, setSaid] = useState('');
  const copy = () =>
    // `navigator.clipboard` is undefined on an insecure connection.
    void Promise.resolve()
      .then(() => navigator.clipboard.writeText(text))
      .then(
        () => setSaid(t.report.copied),
        () => setSaid(t.report.notCopied),
      );
  const canShare = 'share' in navigator;
  const fileName = `${plainFileName(title) || 'report'}.txt`;
  const sendFile = async () => {
    if ((await shareFile(text, fileName)) === 'refused') saveFile(text, fileName, 'text/plain');
  };
  return (
    <Section title={t.report.asText}>
      <div class="stack">
        <div class="row">
          <Button onClick={copy}>{t.report.copy}</Button>
          {canShare && (
            // Closing the share dialog rejects; this is not an error.
            <Button onClick={() => void navigator.share({ title, text }).catch(() => undefined)}>
              {t.report.share}
            </Button>
          )}
          {canShareFile(fileName) && <Button onClick={() => void sendFile()}>{t.report.shareFile}</Button>}
        </div>
        <p role="status">{said}</p>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the keyboard can only scroll it with focus. */}
        <section class="report-text" aria-label={title} tabIndex={0}>
          <pre>{text}</pre>
        </section>
      </div>
    </Section>
  );
}
