import type { ComponentChildren } from 'preact';
import { EngineWords } from '../../components/engine-words.tsx';
import { PageHead } from '../../components/heading.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Page } from '../../components/shell.tsx';
import { StoreFailure } from '../../components/store-failure.tsx';
import type { LoadedTest } from '../../library/library.ts';

/** Loads one test. Renders `children` when it is ready, and otherwise that it is loading or why it failed. */
export function StoredTest({
  testId,
  children,
}: {
  testId: string;
  children: (loaded: LoadedTest) => ComponentChildren;
}) {
  const { library } = useModel();
  const { t } = useReader();
  const resource = library.test(testId).value;
  if (resource.state === 'failed') {
    return (
      <Page>
        <PageHead title={t.engines.testNotShown} />
        <StoreFailure code={resource.problem.code} isAlone />
      </Page>
    );
  }
  if (!resource.value) return <Page>{t.app.loading}</Page>;
  const { engine } = resource.value;
  return <EngineWords facts={engine.facts}>{children(resource.value)}</EngineWords>;
}
