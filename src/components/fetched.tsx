import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { AsyncState } from '../store/async-state.ts';
import { useReader } from './model.ts';
import { Page } from './shell.tsx';

type Fetched<Props> = ComponentType<Props> & { fetchNow(): void };

/**
 * A screen in a chunk of its own, loaded on first render or by `fetchNow`. Screens needed at an engine without network
 * are loaded ahead, after the first page has rendered.
 */
export function fetched<Props extends object>(load: () => Promise<ComponentType<Props>>): Fetched<Props> {
  let screen: ComponentType<Props> | null = null;
  let pending: Promise<void> | null = null;
  const fetchIt = (): Promise<void> => {
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
    return pending;
  };

  const FetchedScreen = (props: Props) => {
    const [state, setState] = useState<AsyncState<never>['state']>(screen ? 'ready' : 'loading');
    useEffect(() => {
      let wanted = true;
      fetchIt().then(
        () => wanted && setState('ready'),
        () => wanted && setState('failed'),
      );
      return () => {
        wanted = false;
      };
    }, []);
    const Screen = screen;
    if (Screen) return <Screen {...props} />;
    return <Waiting hasFailed={state === 'failed'} />;
  };
  FetchedScreen.fetchNow = () => void fetchIt().catch(() => undefined);
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
