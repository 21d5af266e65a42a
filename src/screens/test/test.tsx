import { useEffect } from 'preact/hooks';
import { useLocation, useRoute } from 'preact-iso';
import type { LoadedTest } from '../../capture/bench.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import { untickedMusts } from '../../safety/cautions.ts';
import { CHAPTER_PAGES, CHAPTERS, type Chapter } from './chapter-pages.ts';
import { StoredTest } from './stored-test.tsx';

/** One test, in four chapters; always free to go back. */
export function TestScreen() {
  const { params } = useRoute();
  const { route } = useLocation();
  const chapter = CHAPTERS.find((one) => one === params.chapter);
  const testId = params.testId ?? '';
  useEffect(() => {
    if (!chapter) route(`/tests/${testId}/prepare`, true);
  }, [chapter, testId, route]);
  if (!chapter) return null;
  return (
    <StoredTest testId={testId}>
      {(loaded) => (
        <>
          <ChapterStrip loaded={loaded} chapter={chapter} />
          <ChapterPage loaded={loaded} chapter={chapter} />
        </>
      )}
    </StoredTest>
  );
}

function ChapterPage({ loaded, chapter }: { loaded: LoadedTest; chapter: Chapter }) {
  const Chapter = CHAPTER_PAGES[chapter];
  return <Chapter loaded={loaded} />;
}

function ChapterStrip({ loaded, chapter }: { loaded: LoadedTest; chapter: Chapter }) {
  const { t } = useReader();
  const { engine, test, counting } = loaded;
  const isDone: Readonly<Record<Chapter, boolean>> = {
    prepare: untickedMusts(engine.facts, test.conditions.ticked).length === 0,
    crank: counting.dry.size === loaded.engine.facts.layout.rows.flat().length,
    judge: false,
    keep: false,
  };
  return (
    <nav class="chapters" aria-label={t.chapter.strip}>
      <ol>
        {CHAPTERS.map((one) => (
          <li key={one}>
            <a href={`/tests/${test.id}/${one}`} aria-current={one === chapter ? 'step' : undefined}>
              {isDone[one] && <VerdictShape verdict="sound" />}
              {t.chapter[one]}
            </a>
          </li>
        ))}
      </ol>
    </nav>
  );
}
