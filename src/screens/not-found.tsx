import { PageHead } from '../components/heading.tsx';
import { useReader } from '../components/model.ts';
import { Page } from '../components/shell.tsx';

export function NotFoundScreen() {
  const { t } = useReader();
  return (
    <Page>
      <PageHead title={t.app.notFound}>
        <p>
          <a class="button" href="./">
            {t.app.toEngines}
          </a>
        </p>
      </PageHead>
    </Page>
  );
}
