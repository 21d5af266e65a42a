/** Composition root: the only file that chooses the implementations of the ports. */
import './platform/browser-check.ts';
import './platform/trusted-types.ts';
import { effect } from '@preact/signals';
import { render } from 'preact';
import type { SourceInfo } from '../worker/file/records.ts';
import { createAnalyst } from './analysis/analyst.ts';
import { createWorkerHost } from './analysis/worker-host.ts';
import { announce } from './app/cues.ts';
import type { AppModel } from './app/model.ts';
import { withAccuracy } from './app/sensor-accuracies.ts';
import { createSettings } from './app/settings.ts';
import { createCapture } from './capture/create-capture.ts';
import { createRecovery } from './capture/recovery.ts';
import { operateSimulator } from './capture/simulated-operator.ts';
import { takeLock } from './capture/take-lock.ts';
import { announcementWords } from './components/announcer.tsx';
import { readerFor } from './components/reader.ts';
import { wordsFor } from './copy/languages.ts';
import { createExamples } from './examples/examples.ts';
import { createLibrary } from './library/create-library.ts';
import { createTakeOrder } from './library/take-order.ts';
import { browserClock as clock, browserFrames as frames } from './platform/clock.ts';
import { createErrorLog } from './platform/error-log.ts';
import { pickFiles, saveFile } from './platform/files.ts';
import { createInstallation } from './platform/installation.ts';
import { createKeepAwake } from './platform/keep-awake.ts';
import { createKeyValueStorage } from './platform/key-value-storage.ts';
import { browserLanguage } from './platform/language.ts';
import { createLocks } from './platform/locks.ts';
import { createPrivateFiles, type PrivateFiles } from './platform/private-files.ts';
import { createShareLog } from './platform/share-log.ts';
import { keepOffline, noUpdates } from './platform/updates.ts';
import { createVoice } from './platform/voice.ts';
import { App } from './root.tsx';
import { createSharedLibrary, type SharedLibrary } from './share/shared-library.ts';
import { createSourceOpener } from './sources/open-source.ts';
import { createDatabase } from './store/database.ts';
import { requestPersistence } from './store/health.ts';
import { createIdbStore } from './store/idb-store.ts';
import { notifyChanges } from './store/notify-changes.ts';
import type { JournalStore, TakeBranch } from './store/port.ts';
import { watchStore } from './store/watched-store.ts';

const locks = createLocks();
const voice = createVoice();
const storage = createKeyValueStorage(() => localStorage);
const log = createErrorLog(storage, clock);
addEventListener('error', ({ error, message }) => log.add('page', error ?? new Error(message)));
addEventListener('unhandledrejection', ({ reason }) => log.add('promise', reason));
const connection = createDatabase('strokebook');
const database = createIdbStore('strokebook', connection);
/** Set once the library is made; nothing is written before. */
let sharedLibrary: SharedLibrary | null = null;
const { store: watched, safety } = watchStore(
  {
    ...database,
    async remove(what) {
      const removed = await database.remove(what);
      // Errors with the files do not undo the removal.
      if (files)
        await captureFiles()
          .then(({ forgetCaptures }) => forgetCaptures(files, what))
          .catch((cause: unknown) => log.add('files', cause));
      return removed;
    },
  },
  storage,
  clock,
  log,
);
const store = notifyChanges(watched, (names) => sharedLibrary?.changed(names));
const files = createPrivateFiles('captures');
const captureFiles = () => import('./store/capture-files.ts');

/** Second journal of a take, in files apart from the database. Its code is loaded when the first take opens. */
const copyTo =
  (files: PrivateFiles) =>
  (branch: TakeBranch): JournalStore => {
    const store = captureFiles().then(({ captureFilesStore }) => captureFilesStore(files, branch));
    return {
      saveTake: async (take) => (await store).saveTake(take),
      append: async (...chunk) => (await store).append(...chunk),
    };
  };
const settings = createSettings(storage, browserLanguage());
const newId = (): string => crypto.randomUUID();
const order = createTakeOrder(clock, storage);

const analyst = createAnalyst(
  createWorkerHost({
    spawn: () => new Worker(new URL('../worker/analysis.worker.ts', import.meta.url), { type: 'module' }),
    clock,
    fallback: async () => (await import('../worker/analysis.ts')).createAnalysis(),
  }),
  (cause) => log.add('analysis', cause),
);

const describe = (info: SourceInfo) => withAccuracy(info, settings.values.peek().accuracies);
const library = createLibrary({ store, analyst, clock, newId, order, storage, describe });
const { takesChanged } = library;
const capture = createCapture({
  store,
  copyOf: files ? copyTo(files) : undefined,
  analyst,
  clock,
  frames,
  locks,
  keepAwake: createKeepAwake(),
  newId,
  order,
  storage,
  openSource: createSourceOpener(
    clock,
    navigator.bluetooth,
    () => settings.values.peek().sensor,
    storage,
    log,
  ),
  describe,
  takesChanged,
});
operateSimulator(capture, clock);
const recovery = createRecovery({ store, analyst, locks, takesChanged, onTrouble: capture.report });

const examples = createExamples({
  store,
  storage,
  locks,
  clock,
  make: async (request) => (await import('./examples/example-maker.ts')).makeInWorker(request),
  words: () => wordsFor(settings.values.peek().language).examples,
  changed: library.refilled,
});

const shares = createShareLog(storage, clock);
sharedLibrary = createSharedLibrary({
  database: connection,
  log,
  shares,
  baseUrl: document.baseURI,
  spawn: () => new Worker(new URL('./share/live.worker.ts', import.meta.url), { type: 'module' }),
  onChanges: library.refilled,
});

const model: AppModel = {
  store,
  safety,
  log,
  capture,
  library,
  recovery,
  examples,
  storage,
  drafts: createKeyValueStorage(() => sessionStorage),
  settings,
  installation: createInstallation(storage),
  shares,
  sharedLibrary,
  updates: import.meta.env.PROD ? keepOffline('service-worker.js') : noUpdates,
  parseCsv: analyst.parseCsv,
  readTrace: analyst.read,
  testSound() {
    voice.wake();
    const current = settings.values.peek();
    const { t, say } = readerFor(current.unit, current.language, current.units);
    announce(voice, 'settled', say(t.announcement.settled), { ...current, sound: true });
  },
  saveFile,
  pickFiles,
};

effect(() => {
  const announced = capture.announcement.value;
  if (!announced) return;
  const current = settings.values.peek();
  const words = announcementWords(announced, readerFor(current.unit, current.language, current.units));
  announce(voice, announced.kind, words, current);
});

// Browsers start sound only after a user gesture, and suspend it for a call or a closed lid.
for (const press of ['pointerdown', 'keydown'] as const) addEventListener(press, () => voice.wake());

// Request persistent storage after the first result, when the request makes sense to the user.
// Some browsers show a dialog, so wait until nothing is being measured.
const stopAsking = effect(() => {
  const { armed, phase } = capture.state.value;
  if (!capture.result.value || armed || (phase !== 'idle' && phase !== 'done')) return;
  queueMicrotask(() => {
    stopAsking();
    void requestPersistence();
  });
});

addEventListener('beforeunload', (event) => {
  if (capture.journal.value.state === 'behind') event.preventDefault();
});

declare global {
  interface Window {
    /** Capture counters, for performance tests. */
    readonly strokebookMeters: ReturnType<typeof capture.meters>;
  }
}
Object.defineProperty(window, 'strokebookMeters', { get: capture.meters });

/**
 * Runs before anything is added to the store: checks the library, restores captures from files, looks for unfinished
 * takes.
 */
async function recover(): Promise<void> {
  await safety.look();
  if (files) {
    try {
      const { restoreCaptures } = await captureFiles();
      const isOpen = (takeId: string) => locks.isHeld(takeLock(takeId));
      const mayRemove = !safety.backupWanted.peek();
      // Bypasses the watched store: captures restored from files are not the lost library.
      const restored = await restoreCaptures(files, database, { isOpen, mayRemove });
      if (restored.length > 0) library.refilled();
    } catch (cause) {
      // The files are kept for the next start. Takes in the database are offered anyway.
      log.add('files', cause);
    }
  }
  await recovery.look().catch((cause: unknown) => log.add('recovery', cause));
}

void recover();
render(<App model={model} />, document.querySelector('#app') ?? document.body);

// The first number formatter takes ten times as long as any later one. Made while the store is read, it does not delay the
// first list; two frames later, it does not delay the first paint.
frames.next(() =>
  frames.next(() => {
    const { unit, language } = settings.values.peek();
    readerFor(unit, language).number(0);
  }),
);
