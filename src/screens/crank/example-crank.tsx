import { PageHead } from '../../components/heading.tsx';
import { useReader } from '../../components/model.ts';
import { Page } from '../../components/shell.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { EngineLine } from '../compression-test/engine-line.tsx';

/** Explains why an example engine cannot be measured, with links to what can. */
export function ExampleCrank({ loaded }: { loaded: LoadedTest }) {
  const { t } = useReader();
  return (
    <Page>
      <PageHead title={t.crank.title} over={<EngineLine loaded={loaded} />}>
        <p>{t.examples.noCrank}</p>
      </PageHead>
      <div class="action">
        <a class="button main" href="./">
          {t.app.toEngines}
        </a>
        <a class="button" href={`tests/${loaded.test.id}/judge`}>
          {t.examples.toVerdict}
        </a>
      </div>
    </Page>
  );
}
