import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { AsyncState } from '../store/async-state.ts';
import { useReader } from './model.ts';
import { Page } from './shell.tsx';

type Fetched<Props> = ComponentType<Props> & { fetchNow(): void };

/**
 * A screen that comes in a file of its own, fetched when first wanted or by `fetchNow`. What is wanted at an engine without
 * network is fetched ahead, once the first page stands.
 */
export function fetched<Props extends object>(load: () => Promise<ComponentType<Props>>): Fetched<Props> {
  let screen: ComponentType<Props> | null = null;
  let coming: Promise<void> | null = null;
  const fetchIt = (): Promise<void> => {
    coming ??= load().then(
      (come) => {
        screen = come;
      },
      (cause: unknown) => {
        // Asked for again, it may come.
        coming = null;
        throw cause;
      },
    );
    return coming;
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
