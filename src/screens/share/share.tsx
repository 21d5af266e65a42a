import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Page } from '../../components/shell.tsx';
import type { ArrivalCheck } from '../../share/hand-over.ts';
import type { ShareOutcome } from '../../share/share-work.ts';
import { FolderSection } from './folder-section.tsx';
import { RemovedSection } from './removed-section.tsx';
import { SharedLibrarySection } from './shared-library-section.tsx';
import { type Share, useShare } from './use-share.ts';

const SUFFIX = '.strokebook-share';
const fileName = (kind: string): string =>
  `strokebook-${kind}-${new Date().toISOString().slice(0, 10)}${SUFFIX}`;

/** Moving to a new phone, and one library on several devices. */
export function ShareScreen() {
  const { t } = useReader();
  return (
    <Page>
      <PageHead title={t.share.title} />
      <NewPhoneSection />
      <SharedLibrarySection />
      <MissingSection />
      <FolderSection />
      <RemovedSection />
    </Page>
  );
}

/** Progress and failure of what a section does, and its result. */
export function ShareStatus({ share, children }: { share: Share; children?: ComponentChildren }) {
  const { t, say } = useReader();
  return (
    <>
      {share.progress && (
        <p class="quiet">{share.progress.all === 0 ? t.app.loading : say(t.share.working, share.progress)}</p>
      )}
      <div role="status">{!share.progress && children}</div>
      {share.failure !== null && (
        <p class="problem" role="alert">
          {say(t.share.failed, { detail: share.failure })}
        </p>
      )}
    </>
  );
}

type HandedOver = Extract<ShareOutcome, { kind: 'handed-over' }>;

function useHandOver(share: Share) {
  const { saveFile, shares } = useModel();
  const [handed, setHanded] = useState<HandedOver | 'not-have' | null>(null);
  const start = async (have: Blob | null) => {
    setHanded(null);
    const outcome = await share.run({ kind: 'hand-over', have });
    if (outcome?.kind === 'not-have') setHanded('not-have');
    if (outcome?.kind !== 'handed-over') return;
    setHanded(outcome);
    if (outcome.documents === 0) return;
    saveFile(outcome.file, fileName('hand-over'), 'application/octet-stream');
    shares.add('file handed over');
  };
  return { handed, start };
}

function HandedOverLine({ handed }: { handed: HandedOver | 'not-have' | null }) {
  const { t, say } = useReader();
  if (handed === null) return null;
  if (handed === 'not-have') return <p class="problem">{t.share.notHave}</p>;
  if (handed.documents === 0) return <p>{t.share.nothing}</p>;
  const file = new File([handed.file], fileName('hand-over'), { type: 'application/octet-stream' });
  const canShare = 'canShare' in navigator && navigator.canShare({ files: [file] });
  return (
    <div class="stack-tight">
      <p>{say(t.share.handedOver, { engines: handed.engines, tests: handed.tests })}</p>
      {canShare && (
        <Button onClick={() => void navigator.share({ files: [file] }).catch(() => undefined)}>
          {t.share.shareFile}
        </Button>
      )}
    </div>
  );
}

function NewPhoneSection() {
  const { t } = useReader();
  const share = useShare();
  const { handed, start } = useHandOver(share);
  return (
    <Section title={t.share.newPhone} hint={t.share.newPhoneHint} id="new-phone">
      <div class="stack">
        <div class="stack-tight">
          <p>{t.share.step1}</p>
          <Button onClick={() => void start(null)}>{t.share.handOver}</Button>
          <ShareStatus share={share}>
            <HandedOverLine handed={handed} />
          </ShareStatus>
        </div>
        <p>{t.share.step2}</p>
        <div class="stack-tight">
          <p>{t.share.step3}</p>
          <TakeIn />
        </div>
      </div>
    </Section>
  );
}

function TakeIn() {
  const { pickFiles, shares } = useModel();
  const { t, say } = useReader();
  const share = useShare();
  const [taken, setTaken] = useState<Extract<ShareOutcome, { kind: 'taken-in' }> | null>(null);
  const choose = async () => {
    setTaken(null);
    for (const file of await pickFiles('*/*')) {
      const outcome = await share.run({ kind: 'take-in', file });
      if (outcome?.kind !== 'taken-in') return;
      setTaken(outcome);
      if (outcome.problem !== 'not-ours') shares.add('file taken in');
    }
  };
  return (
    <>
      <Button onClick={() => void choose()}>{t.share.takeIn}</Button>
      <ShareStatus share={share}>
        {taken?.problem && <p class="problem">{t.share[taken.problem]}</p>}
        {taken?.check && <Check check={taken.check} />}
        {taken && taken.waiting > 0 && <p>{say(t.share.waiting, { n: taken.waiting })}</p>}
      </ShareStatus>
    </>
  );
}

/** Whether everything in the file is here. */
function Check({ check: { engines, tests, different } }: { check: ArrivalCheck }) {
  const { t, say } = useReader();
  const isAll = engines.here === engines.sent && tests.here === tests.sent;
  return (
    <>
      <p>
        {isAll && different === 0
          ? say(t.share.arrived, { engines: engines.sent, tests: tests.sent })
          : say(t.share.partly, {
              engines: engines.here,
              allEngines: engines.sent,
              tests: tests.here,
              allTests: tests.sent,
            })}
      </p>
      {different > 0 && <p>{say(t.share.different, { n: different })}</p>}
    </>
  );
}

function MissingSection() {
  const { t } = useReader();
  const { pickFiles, saveFile } = useModel();
  const share = useShare();
  const { handed, start } = useHandOver(share);
  const [isSaved, setSaved] = useState(false);
  const have = async () => {
    setSaved(false);
    const outcome = await share.run({ kind: 'have' });
    if (outcome?.kind !== 'have') return;
    saveFile(outcome.file, fileName('have'), 'application/octet-stream');
    setSaved(true);
  };
  const rest = async () => {
    setSaved(false);
    const [file] = await pickFiles('*/*');
    if (file) await start(file);
  };
  return (
    <Section title={t.share.missing} hint={t.share.missingHint}>
      <div class="stack">
        <div class="row">
          <Button onClick={() => void have()}>{t.share.have}</Button>
          <Button onClick={() => void rest()}>{t.share.handOverRest}</Button>
        </div>
        <ShareStatus share={share}>
          {isSaved && <p>{t.share.haveSaved}</p>}
          <HandedOverLine handed={handed} />
        </ShareStatus>
      </div>
    </Section>
  );
}
