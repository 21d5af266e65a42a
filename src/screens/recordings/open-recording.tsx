import { Button } from '../../components/button.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Page } from '../../components/shell.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import { useLoaded } from '../../components/use-loaded.ts';
import { ImportRemark } from '../export/import-remark.tsx';
import { SESSION_ACCEPT } from '../export/read-session-file.ts';
import { TransferBar } from '../export/transfer-progress.tsx';
import { ReadRecordings } from './read-recordings.tsx';
import { ReceivedSection } from './received-section.tsx';
import { realEngines } from './recording-target.ts';
import { RECORDING_ACCEPT, RecordingProblems, useRecordings } from './recordings.tsx';
import { useImports } from './use-imports.ts';

/** A shared session file has `.txt` added, since browsers share no JSON. */
const isSession = ({ name }: File) => /\.json(?:\.txt)?$/i.test(name);

/** Opens recordings, which make or complete a test, and session files, which are imported as they are. */
export function OpenRecordingScreen() {
  const { store, pickFiles } = useModel();
  const { t } = useReader();
  const recordings = useRecordings();
  const imports = useImports();
  const { loaded } = useLoaded('engines', () => store.engines());
  const isEmpty = recordings.traces.length === 0;
  const choose = async () => open(await pickFiles(`${RECORDING_ACCEPT},${SESSION_ACCEPT}`));
  const open = async (files: readonly File[]) => {
    const sessions = files.filter(isSession);
    if (sessions.length < files.length) await recordings.read(files.filter((file) => !isSession(file)));
    await imports.bringIn(sessions);
  };
  return (
    <Page>
      <PageHead title={t.open.title}>
        <p class="quiet">{t.open.lead}</p>
      </PageHead>
      <ReceivedSection open={open} />
      <TransferBar transfer={imports.transfer} name={imports.fileName} />
      <div role="status">
        {imports.outcomes.map(({ fileName, end }) => (
          <ImportRemark key={fileName} fileName={fileName} end={end} />
        ))}
        {imports.outcomes.some(({ end }) => end.state === 'brought') && (
          <p>
            <a class="link-line" href="./">
              {t.into.toEngines}
            </a>
          </p>
        )}
      </div>
      <RecordingProblems recordings={recordings} />
      {loaded.state === 'failed' && (
        <StoreFailure code={loaded.problem.code} lead={t.engines.unreadableEngines} />
      )}
      {isEmpty || loaded.state === 'loading' ? (
        <div class="action">
          <Button kind="main" onClick={() => void choose()}>
            {t.open.choose}
          </Button>
        </div>
      ) : (
        <ReadRecordings
          key={recordings.traces
            .map(({ fileName, header }) => [fileName, header.cylinder, header.condition].join(' '))
            .join()}
          recordings={recordings}
          engines={loaded.state === 'ready' ? realEngines(loaded.value) : []}
          chooseOthers={() => void choose()}
        />
      )}
    </Page>
  );
}
