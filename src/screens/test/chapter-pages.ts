import type { LoadedTest } from '../../capture/bench.ts';
import { fetched } from '../../components/fetched.tsx';

/** Chapters of a test, in their order. */
export const CHAPTERS = ['prepare', 'crank', 'judge', 'keep'] as const;
export type Chapter = (typeof CHAPTERS)[number];

interface ChapterProps {
  readonly loaded: LoadedTest;
}

export const CHAPTER_PAGES = {
  prepare: fetched<ChapterProps>(async () => (await import('../prepare/prepare.tsx')).PrepareChapter),
  crank: fetched<ChapterProps>(async () => (await import('../crank/crank.tsx')).CrankChapter),
  judge: fetched<ChapterProps>(async () => (await import('../judge/judge.tsx')).JudgeChapter),
  keep: fetched<ChapterProps>(async () => (await import('../keep/keep.tsx')).KeepChapter),
} as const;

export function fetchChapters(): void {
  for (const chapter of CHAPTERS) CHAPTER_PAGES[chapter].fetchNow();
}
