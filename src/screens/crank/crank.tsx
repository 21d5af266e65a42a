import { useEffect, useRef, useState } from 'preact/hooks';
import { isRotary } from '../../../worker/core/engine.ts';
import { cylindersOf } from '../../../worker/core/layouts.ts';
import type { Connection } from '../../capture/connection-state.ts';
import { fetched } from '../../components/fetched.tsx';
import { Heading } from '../../components/heading.tsx';
import { LiveTrace } from '../../components/live-trace.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Plan } from '../../components/plan.tsx';
import { Page } from '../../components/shell.tsx';
import { stampOf } from '../../components/source-words.ts';
import { Stamp } from '../../components/stamp.tsx';
import type { LoadedTest } from '../../library/library.ts';
import { dialKey } from '../compression-test/dial-key.ts';
import { planCells } from '../compression-test/plan-cells.ts';
import { DialPage } from '../dial/dial.tsx';
import { CrankActions } from './crank-actions.tsx';
import { CrankFigure } from './crank-figure.tsx';
import { CrankSource } from './crank-source.tsx';
import { connectionWords, phaseWords, shortStrokes } from './crank-words.ts';
import { ExampleCrank } from './example-crank.tsx';

/** Fetched when it is asked for. */
const CameraSetUp = fetched(async () => (await import('../camera/camera-set-up.tsx')).CameraSetUp);

const FLOWING: readonly Connection['state'][] = ['streaming', 'silent', 'reconnecting'];

/** Capture step. An example engine cannot be measured, so that its figures never mix with real ones. */
export function CrankStep({ loaded }: { loaded: LoadedTest }) {
  return loaded.engine.origin === 'example' ? (
    <ExampleCrank loaded={loaded} />
  ) : (
    <AtTheEngine loaded={loaded} />
  );
}

/** Choice of the source, then the capture. */
function AtTheEngine({ loaded }: { loaded: LoadedTest }) {
  const { capture, drafts } = useModel();
  const connection = capture.connection.value;
  const typedKey = dialKey(loaded.test.id);
  // If all earlier figures were typed, the wet retest starts with the dial gauge too.
  const [isTyping, setTyping] = useState(
    () => connection.state === 'none' && (isAllTyped(loaded) || Boolean(drafts.read(typedKey))),
  );
  const [isSettingUp, setSettingUp] = useState(false);
  const session = capture.session.value;
  const { engine, test } = loaded;
  const isOurs = session?.test.id === test.id;
  // biome-ignore lint/correctness/useExhaustiveDependencies: begins once per test; `loaded` only gives the starting plan.
  useEffect(() => {
    if (!isOurs) capture.begin(engine, test, planLeft(loaded));
  }, [capture, test.id, isOurs]);

  const changeTyping = (next: boolean) => {
    drafts.write(typedKey, next ? 'yes' : '');
    setTyping(next);
  };
  if (isTyping) {
    const { plan, at } = capture.state.peek();
    const item = isOurs ? plan[at] : undefined;
    const isWetLeft = item?.condition === 'wet' && !loaded.counting.wet.has(item.cylinder);
    return <DialPage loaded={loaded} first={isWetLeft ? item : null} onLeave={() => changeTyping(false)} />;
  }
  if (isSettingUp) return <CameraSetUp onLeave={() => setSettingUp(false)} />;
  const isFlowing = FLOWING.includes(connection.state);
  return (
    <Page kind={`capture${isFlowing ? ' flowing' : ''}`}>
      <CrankMap loaded={loaded} />
      {isFlowing ? (
        <>
          <SensorLine connection={connection} />
          <CrankFigure loaded={loaded} />
          <div class="crank-trace">
            <LiveTrace />
          </div>
          <CrankActions loaded={loaded} />
        </>
      ) : (
        <CrankSource
          loaded={loaded}
          connection={connection}
          onType={() => changeTyping(true)}
          onCamera={() => setSettingUp(true)}
        />
      )}
    </Page>
  );
}

const isAllTyped = ({ takes }: LoadedTest): boolean =>
  takes.length > 0 && takes.every(({ take }) => take.typed !== undefined);

/** Cylinders without a dry reading; all cylinders when none is left. */
function planLeft(loaded: LoadedTest) {
  const all = cylindersOf(loaded.engine.facts.layout);
  const left = all.filter((cylinder) => !loaded.counting.dry.has(cylinder));
  return (left.length > 0 ? left : all).map((cylinder) => ({ cylinder, condition: 'dry' as const }));
}

/** Small plan with the current cylinder ringed, and the instruction for the current phase. */
function CrankMap({ loaded }: { loaded: LoadedTest }) {
  const { capture } = useModel();
  const reader = useReader();
  const state = capture.state.value;
  const item = state.plan[state.at];
  const condition = item?.condition ?? 'dry';
  const hoseIn = useRef<number | null>(null);
  if (item && (state.phase === 'cranking' || state.phase === 'holding')) hoseIn.current = item.cylinder;
  return (
    <div class="crank-map">
      <Heading visuallyHidden>{reader.t.crank.title}</Heading>
      <Plan
        layout={loaded.engine.facts.layout}
        cells={planCells(loaded, reader, { condition, verdicts: false })}
        current={item?.cylinder ?? null}
        onChoose={(cylinder) => capture.choose({ cylinder, condition })}
        size="strip"
        label={reader.t.crank.planLabel}
      />
      <section class="phase" aria-label={reader.t.crank.instruction}>
        {phaseWords(state, capture.live.value, capture.connection.value, reader, {
          hoseIn: hoseIn.current,
          tooShort: shortStrokes(capture.result.value, item, loaded),
          isUnseen: capture.analyst.value === 'failed',
          isRotor: isRotary(loaded.engine.facts),
          isMeasured: item !== undefined && loaded.counting[condition].has(item.cylinder),
        })}
      </section>
    </div>
  );
}

function SensorLine({ connection }: { connection: Connection }) {
  const { capture } = useModel();
  const reader = useReader();
  const stamp = 'kind' in connection ? stampOf(connection.kind, reader) : null;
  return (
    <section
      class={`sensor-line${connection.state === 'streaming' ? ' steady' : ''}`}
      aria-label={reader.t.app.sensor}
    >
      {connection.state !== 'streaming' && <VerdictShape verdict="watch" />}
      <p role="status">
        {stamp && <Stamp>{stamp}</Stamp>}
        {connectionWords(connection, reader)}
      </p>
      <button type="button" class="button plain" onClick={() => capture.disconnect()}>
        {reader.t.crank.change}
      </button>
    </section>
  );
}
