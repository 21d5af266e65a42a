/** Capture: the machine, the runner of its actions and the live connection behind one port. */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import { cylindersOf } from '../../worker/core/layouts.ts';
import type { SourceChoice } from '../sources/source-choice.ts';
import type { StoreProblem } from '../store/port.ts';
import { createActionRunner } from './action-runner.ts';
import type { CaptureDependencies } from './capture-dependencies.ts';
import { itemAt } from './capture-state.ts';
import { holdWhileBusy } from './hold-while-busy.ts';
import { createLiveAnalysis } from './live-analysis.ts';
import type { CaptureContext } from './machine-events.ts';
import { createMachineRunner, type MachineRunner } from './machine-runner.ts';
import type { ArmBlock, Capture, Meters, Session } from './port.ts';
import { createSampleFeed, type SampleFeed } from './sample-feed.ts';
import { createTabLock, type TabLock } from './tab-lock.ts';
import { createTakeWriter, type TakeWriter } from './take-writer.ts';
import { announceLinkLoss, watchOpenTake } from './watchdogs.ts';

/** Capture with the parts that only the composition root uses. */
export interface CaptureWithMeters extends Capture {
  meters(): Meters;
  /** Announces that the store refused a write outside of a take. */
  report(problem: StoreProblem): void;
}

/** One capture for the page. Its watchdog runs as long as the page. */
export function createCapture(deps: CaptureDependencies): CaptureWithMeters {
  const { analyst, clock } = deps;
  const session = signal<Session | null>(null);
  const tabLock = createTabLock(deps.locks, clock);
  const machine = createMachineRunner(
    (nowS) => contextOf({ feed, tabLock, armBlock, newId: deps.newId }, nowS),
    (action) => actions.carryOut(action),
  );
  const { dispatch, announce, state } = machine;
  const report = (problem: StoreProblem): void => announce({ kind: 'not-saved', problem });
  const writer = createTakeWriter({ ...deps, onTrouble: report });
  const analysis = createLiveAnalysis(analyst, (reading, atS) => dispatch({ type: 'live', atS, reading }));
  const feed = createSampleFeed({
    ...deps,
    writer,
    analysis,
    onEnd: () => dispatch({ type: 'source-ended' }),
  });
  const actions = createActionRunner({ ...deps, session, feed, writer, analysis, announce, dispatch });
  const armBlock = createArmBlock(session, state, feed, tabLock);

  // Tab lock, screen lock and analysis are derived from the state.
  const busy = computed(() => state.value.armed || writer.isOpen.value || state.value.phase === 'storing');
  holdWhileBusy(busy, deps.keepAwake, () => {
    tabLock.free();
    analysis.close();
  });
  watchOpenTake({ clock, writer, feed, machine, health: analyst.health });
  announceLinkLoss(feed.connection, machine);

  /** Takes the tab lock, then dispatches. `fromS`: start of the analysis, seconds; default now. */
  const armWith = async (type: 'arm' | 'retake', fromS?: () => number): Promise<void> => {
    if (feed.info.value && !(await tabLock.take())) return;
    dispatch({ type }, fromS?.());
    if (!busy.value) tabLock.free();
  };

  const connect = async (choice: SourceChoice): Promise<void> => {
    if (!(await feed.connect(choice))) return;
    const item = itemAt(state.value);
    if (item) feed.moveHose(item);
    // A recording or a film is already running, so it is armed at once and analysed from its first sample.
    const isRunning = choice.kind === 'replay' || (choice.kind === 'camera' && choice.camera.from === 'film');
    if (isRunning) await armWith('arm', () => feed.buffer.firstS ?? 0);
  };

  return {
    ...signalsOf(machine, feed, writer),
    ...commandsOf(dispatch),
    session,
    live: analysis.live,
    result: actions.result,
    armBlock,
    analyst: analyst.health,
    connect: (choice) => void connect(choice),
    begin(engine, test, plan, hose) {
      dispatch({ type: 'begin', plan });
      session.value = { engine, test, hose };
      actions.clearResult();
    },
    arm: () => void armWith('arm'),
    retake: () => void armWith('retake'),
    report,
  };
}

/** The parts of the port that are passed on as they are. */
const signalsOf = (machine: MachineRunner, feed: SampleFeed, writer: TakeWriter) => ({
  state: machine.state,
  announcement: machine.announcement,
  connection: feed.connection,
  simulator: feed.simulator,
  buffer: feed.buffer,
  connectionLog: feed.log,
  disconnect: feed.disconnect,
  journal: writer.health,
  unsaved: writer.unsaved,
  meters: () => ({ ...feed.buffer.meters(), ...writer.meters() }),
});

type Command = 'stop' | 'skip' | 'choose' | 'setCondition' | 'undo' | 'goOn' | 'recordAnyway';

/** The commands that are nothing but an event of the machine. */
const commandsOf = (dispatch: MachineRunner['dispatch']): Pick<Capture, Command> => ({
  stop: () => dispatch({ type: 'stop' }),
  skip: () => dispatch({ type: 'skip' }),
  choose: (item) => dispatch({ type: 'choose', item }),
  setCondition: (condition) => dispatch({ type: 'condition', condition }),
  undo: () => dispatch({ type: 'undo' }),
  goOn: () => dispatch({ type: 'go-on' }),
  recordAnyway: () => dispatch({ type: 'record' }),
});

const createArmBlock = (
  session: ReadonlySignal<Session | null>,
  state: MachineRunner['state'],
  feed: SampleFeed,
  tabLock: TabLock,
): ReadonlySignal<ArmBlock | null> =>
  computed(() => {
    const item = itemAt(state.value);
    if (!session.value || !item) return 'no-test';
    if (!cylindersOf(session.value.engine.facts.layout).includes(item.cylinder)) return 'cylinder-unknown';
    if (!feed.info.value) return 'not-connected';
    return tabLock.isElsewhere.value ? 'other-tab' : null;
  });

interface ContextParts {
  readonly feed: SampleFeed;
  readonly tabLock: TabLock;
  readonly armBlock: ReadonlySignal<ArmBlock | null>;
  readonly newId: () => string;
}

/** Context of a step at `nowS`, seconds; default the newest sample. */
function contextOf(
  { feed, tabLock, armBlock, newId }: ContextParts,
  nowS = feed.buffer.lastS ?? 0,
): CaptureContext {
  const canArm = tabLock.held() && armBlock.value !== 'cylinder-unknown';
  // A recording cannot wait for rest: its first sample is accepted as it is.
  const isRecording = feed.source()?.kind === 'replay';
  const nowKpa = isRecording ? null : (feed.buffer.slice(nowS, nowS).pressureKpa[0] ?? null);
  return { nowS, nowKpa, newTakeId: newId(), canArm };
}
