import './styles/tokens.css';
import './styles/base.css';
import './styles/shell.css';
import './styles/buttons.css';
import './styles/remarks.css';
import './styles/tables.css';
import './styles/fields.css';
import './styles/plan.css';
import './styles/charts.css';
import './screens/engines/engines.css';
import './styles/screens.css';
import './screens/results/results.css';
import './styles/rows.css';
import './screens/results/compare.css';
import './screens/sensor/sensor.css';
import './screens/settings/settings.css';
import './screens/prepare/prepare.css';
import './screens/crank/crank.css';
import './screens/crank/crank-layouts.css';
import './screens/dial/dial.css';
import './screens/engine/engine.css';
import './screens/report/report.css';
import './screens/report/print.css';
import { useSignalEffect } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo } from 'preact/hooks';
import { Route, Router, useLocation } from 'preact-iso';
import type { AppModel } from './app/model.ts';
import { Announcer } from './components/announcer.tsx';
import { AppLocation } from './components/app-location.tsx';
import { Banner } from './components/banner.tsx';
import { fetched } from './components/fetched.tsx';
import { ModelContext, useModel } from './components/model.ts';
import { PageGuard } from './components/page-guard.tsx';
import { Shell } from './components/shell.tsx';
import { makeTrouble, TroubleContext } from './components/trouble.ts';
import { LastRemovedContext, makeLastRemoved, UndoOffer } from './components/undo-offer.tsx';
import { UpdateLine } from './components/update-line.tsx';
import { languageFor } from './copy/languages.ts';
import { STEP_PAGES } from './screens/compression-test/step-pages.ts';
import { EnginesScreen } from './screens/engines/engines.tsx';
import { NotFoundScreen } from './screens/not-found.tsx';

const SetupScreen = fetched(async () => (await import('./screens/engine/setup.tsx')).SetupScreen);
const OpenRecordingScreen = fetched(
  async () => (await import('./screens/recordings/open-recording.tsx')).OpenRecordingScreen,
);
const EngineScreen = fetched(async () => (await import('./screens/engine/engine.tsx')).EngineScreen);
const EngineCardScreen = fetched(
  async () => (await import('./screens/engine/engine-card.tsx')).EngineCardScreen,
);
const MergeScreen = fetched(async () => (await import('./screens/engine/merge.tsx')).MergeScreen);
const PlugsScreen = fetched(async () => (await import('./screens/engine/plugs.tsx')).PlugsScreen);
const CompressionTestScreen = fetched(
  async () => (await import('./screens/compression-test/compression-test.tsx')).CompressionTestScreen,
);
const CompareScreen = fetched(async () => (await import('./screens/results/compare.tsx')).CompareScreen);
const ReportScreen = fetched(async () => (await import('./screens/report/report.tsx')).ReportScreen);
const CheckScreen = fetched(async () => (await import('./screens/report/check.tsx')).CheckScreen);
const SensorScreen = fetched(async () => (await import('./screens/sensor/sensor.tsx')).SensorScreen);
const SettingsScreen = fetched(async () => (await import('./screens/settings/settings.tsx')).SettingsScreen);

const ShareScreen = fetched(async () => (await import('./screens/share/share.tsx')).ShareScreen);

/** Delay before the other screens are fetched: after the first page is rendered, while the network is still in reach. */
const FETCH_AHEAD_MS = 1500;
/** Between two of them, so that a press of a key or the screen is answered in between. */
const NEXT_SCREEN_MS = 50;

/** Most needed at an engine first. */
const SCREENS = [
  CompressionTestScreen,
  ...Object.values(STEP_PAGES),
  SetupScreen,
  EngineScreen,
  EngineCardScreen,
  MergeScreen,
  PlugsScreen,
  OpenRecordingScreen,
  CompareScreen,
  ReportScreen,
  CheckScreen,
  SensorScreen,
  SettingsScreen,
  ShareScreen,
];

/** Schedules the fetch of all lazy screens, with the words of the language, BCP 47. Returns a function that cancels. */
function fetchAhead(language: string): () => void {
  const left = [...SCREENS];
  const next = (): void => {
    left.shift()?.fetchNow(language);
    if (left.length > 0) timer = setTimeout(next, NEXT_SCREEN_MS);
  };
  let timer = setTimeout(next, FETCH_AHEAD_MS);
  return () => clearTimeout(timer);
}

/** Root component: contexts, shell and routes. */
export function App({ model }: { model: AppModel }) {
  const { log } = model;
  const trouble = useMemo(() => makeTrouble(log.add), [log]);
  const lastRemoved = useMemo(makeLastRemoved, []);
  useEffect(() => fetchAhead(model.settings.values.peek().language), [model]);
  useSignalEffect(() => {
    const { theme, language } = model.settings.values.value;
    const root = document.documentElement;
    if (theme === 'system') delete root.dataset.theme;
    else root.dataset.theme = theme;
    // The language of the texts, for screen readers. Figures follow `language` itself.
    root.lang = languageFor(language);
  });
  return (
    <ModelContext.Provider value={model}>
      <TroubleContext.Provider value={trouble}>
        <LastRemovedContext.Provider value={lastRemoved}>
          <AppLocation>
            <Shell>
              <Banner />
              <UpdateLine />
              <UndoOffer />
              <Guarded>
                <Router>
                  <Route path="/" component={EnginesScreen} />
                  <Route path="/new" component={SetupScreen} />
                  <Route path="/engine" component={EngineCardScreen} />
                  <Route path="/engine/:engineId" component={EngineScreen} />
                  <Route path="/engine/:engineId/card" component={EngineCardScreen} />
                  <Route path="/engine/:engineId/merge" component={MergeScreen} />
                  <Route path="/engine/:engineId/plugs" component={PlugsScreen} />
                  <Route path="/open" component={OpenRecordingScreen} />
                  <Route path="/tests/:testId/compare" component={CompareScreen} />
                  <Route path="/tests/:testId/report" component={ReportScreen} />
                  <Route path="/tests/:testId/:step" component={CompressionTestScreen} />
                  <Route path="/check" component={CheckScreen} />
                  <Route path="/sensor" component={SensorScreen} />
                  <Route path="/share" component={ShareScreen} />
                  <Route path="/settings" component={SettingsScreen} />
                  <Route default component={NotFoundScreen} />
                </Router>
              </Guarded>
              <Announcer />
            </Shell>
          </AppLocation>
        </LastRemovedContext.Provider>
      </TroubleContext.Provider>
    </ModelContext.Provider>
  );
}

function Guarded({ children }: { children: ComponentChildren }) {
  const { url } = useLocation();
  const { log } = useModel();
  return (
    <PageGuard place={url} onBroken={(cause) => log.add('screen', cause)}>
      {children}
    </PageGuard>
  );
}
