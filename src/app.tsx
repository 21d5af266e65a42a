import './styles/tokens.css';
import './styles/base.css';
import './styles/shell.css';
import './styles/pieces.css';
import './styles/signs.css';
import './styles/screens.css';
import { useSignalEffect } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { LocationProvider, Route, Router } from 'preact-iso';
import type { AppModel } from './capture/port.ts';
import { Announcer } from './components/announcer.tsx';
import { Banner } from './components/banner.tsx';
import { ModelContext } from './components/model.ts';
import { Shell } from './components/shell.tsx';
import { makeTrouble, TroubleContext } from './components/trouble.ts';
import { BenchScreen } from './screens/bench.tsx';
import { CompareScreen } from './screens/compare.tsx';
import { NotFoundScreen } from './screens/not-found.tsx';
import { OpenRecordingScreen } from './screens/open-recording.tsx';
import { SensorScreen } from './screens/sensor.tsx';
import { SettingsScreen } from './screens/settings.tsx';
import { SetupScreen } from './screens/setup.tsx';
import { TestScreen } from './screens/test.tsx';

/** Everything a person sees. `model` is all that is behind it, made once in `main.tsx`. */
export function App({ model }: { model: AppModel }) {
  const trouble = useMemo(makeTrouble, []);
  useSignalEffect(() => {
    const { theme, language } = model.settings.values.value;
    const root = document.documentElement;
    if (theme === 'system') delete root.dataset.theme;
    else root.dataset.theme = theme;
    root.lang = language;
  });
  return (
    <ModelContext.Provider value={model}>
      <TroubleContext.Provider value={trouble}>
        <LocationProvider>
          <Shell>
            <Banner />
            <Router onRouteChange={focusPage}>
              <Route path="/" component={BenchScreen} />
              <Route path="/new" component={SetupScreen} />
              <Route path="/open" component={OpenRecordingScreen} />
              <Route path="/tests/:testId/compare" component={CompareScreen} />
              <Route path="/tests/:testId/:chapter" component={TestScreen} />
              <Route path="/sensor" component={SensorScreen} />
              <Route path="/settings" component={SettingsScreen} />
              <Route default component={NotFoundScreen} />
            </Router>
            <Announcer />
          </Shell>
        </LocationProvider>
      </TroubleContext.Provider>
    </ModelContext.Provider>
  );
}

/** A new page starts at its heading, for the eye and for the ear. */
function focusPage(): void {
  document.querySelector<HTMLElement>('#page h1')?.focus({ preventScroll: true });
}
