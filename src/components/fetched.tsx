import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { hasAllWords, loadAllWords } from '../copy/languages.ts';
import { useModel, useReader } from './model.ts';
import { Page } from './shell.tsx';

type Fetched<Props> = ComponentType<Props> & { fetchNow(language: string): void };

/**
 * A screen in a chunk of its own, loaded with the words of the language on first render or by `fetchNow`. Screens needed at an engine without network
 * are loaded ahead, after the first page has rendered.
 */
export function fetched<Props extends object>(load: () => Promise<ComponentType<Props>>): Fetched<Props> {
  let screen: ComponentType<Props> | null = null;
  let pending: Promise<void> | null = null;
  const fetchIt = async (language: string): Promise<void> => {
    pending ??= load().then(
      (component) => {
        screen = component;
      },
      (cause: unknown) => {
        // Clear the failed request so that the next call retries.
        pending = null;
        throw cause;
      },
    );
    await Promise.all([pending, loadAllWords(language)]);
  };

  const FetchedScreen = (props: Props) => {
    const { language } = useModel().settings.values.value;
    const [outcome, setOutcome] = useState<{ readonly hasFailed: boolean } | null>(null);
    useEffect(() => {
      let wanted = true;
      fetchIt(language).then(
        () => wanted && setOutcome({ hasFailed: false }),
        () => wanted && setOutcome({ hasFailed: true }),
      );
      return () => {
        wanted = false;
      };
    }, [language]);
    const Screen = screen;
    if (Screen && hasAllWords(language)) return <Screen {...props} />;
    return <Waiting hasFailed={outcome?.hasFailed ?? false} />;
  };
  FetchedScreen.fetchNow = (language: string) => void fetchIt(language).catch(() => undefined);
  return FetchedScreen;
}

function Waiting({ hasFailed }: { hasFailed: boolean }) {
  const { t } = useReader();
  return (
    <Page>
      <p role="status">{hasFailed ? t.app.notFetched : t.app.loading}</p>
    </Page>
  );
}
