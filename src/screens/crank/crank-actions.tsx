import { useLocation } from 'preact-iso';
import { isRotary } from '../../../worker/core/engine.ts';
import { originOf } from '../../analysis/reading-options.ts';
import type { CapturePhase } from '../../capture/capture-state.ts';
import type { Capture } from '../../capture/port.ts';
import { Button } from '../../components/button.tsx';
import { Choice } from '../../components/choice.tsx';
import { useModel, useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import { useLoaded } from '../../components/use-loaded.ts';
import type { LoadedTest } from '../../library/library.ts';
import { untickedMusts } from '../../safety/cautions.ts';
import { storageHealth } from '../../store/health.ts';
import { shortStrokes } from './crank-words.ts';

/** Phases before the first stroke, when advice on a wet test can still be followed. */
const BEFORE_CRANKING: readonly CapturePhase[] = ['idle', 'zeroing', 'waiting', 'moving'];

/** Main action of the capture, with secondary buttons beside it. */
export function CrankActions({ loaded }: { loaded: LoadedTest }) {
  const { capture } = useModel();
  const reader = useReader();
  const { t } = reader;
  const { route } = useLocation();
  const state = capture.state.value;
  const item = state.plan[state.at];
  const block = useArmBlock(loaded);
  const isWet = item?.condition === 'wet';
  const isDiesel = loaded.engine.facts.fuel === 'diesel';
  const isUnseen = capture.analyst.value === 'failed';
  const isAgain = shortStrokes(capture.result.value, item, loaded) !== null;
  const stop = stopWords(state.phase, reader);
  const isRotor = isRotary(loaded.engine.facts);
  const cylinder = item?.cylinder ?? null;
  const go = goAction(state.phase, capture, reader, { isUnseen, isAgain, isRotor, cylinder });
  return (
    <div class="action crank-action">
      {state.phase === 'idle' && block && <p class="action-why">{block.words}</p>}
      {state.phase === 'idle' && <LittleRoom />}
      {isWet && !isDiesel && !block && BEFORE_CRANKING.includes(state.phase) && (
        <p class="action-why">
          {state.phase === 'idle' && t.crank.wetCaution}{' '}
          {!loaded.counting.dry.has(item.cylinder) && t.crank.noDryYet}
        </p>
      )}
      <div class="beside">
        {!isDiesel && !isRotor && (
          <div class={item ? 'choice-place' : 'choice-place kept'}>
            <Choice
              legend={t.crank.condition}
              quiet
              value={item?.condition ?? 'dry'}
              options={[
                { value: 'dry', label: t.condition.dry },
                { value: 'wet', label: t.condition.wet },
              ]}
              onChoose={(condition) => capture.setCondition(condition)}
            />
          </div>
        )}
        {go?.words === t.crank.retake ? (
          <KeptPlace>{t.crank.retake}</KeptPlace>
        ) : (
          <Button
            onClick={() => capture.retake()}
            blocked={canRetake(capture) ? null : t.crank.nothingToRetake}
          >
            {t.crank.retake}
          </Button>
        )}
        {item ? (
          <Button onClick={() => capture.skip()}>{t.crank.skip}</Button>
        ) : (
          <KeptPlace>{t.crank.skip}</KeptPlace>
        )}
        {state.history.length > 0 ? (
          <Button onClick={() => capture.undo()}>{t.app.undo}</Button>
        ) : (
          <KeptPlace>{t.app.undo}</KeptPlace>
        )}
      </div>
      <div class="stop-and-go">
        {stop !== null && (
          <Button kind="main stop" onClick={() => capture.stop()}>
            {stop}
          </Button>
        )}
        <StarterButton isUnseen={isUnseen} />
        {state.phase === 'idle' && block?.goTo ? (
          <a class="button main" href={block.goTo}>
            {t.crank.toPrepare}
          </a>
        ) : state.phase === 'done' ? (
          <Button kind="main" onClick={() => route(`tests/${loaded.test.id}/judge`)}>
            {t.crank.judge}
          </Button>
        ) : (
          go && (
            <Button kind="main" onClick={go.act} blocked={state.phase === 'idle' ? block?.words : null}>
              {go.words}
            </Button>
          )
        )}
      </div>
    </div>
  );
}

/** Keeps the space of an absent button, so that no other button moves under a finger. */
function KeptPlace({ children }: { children: string }) {
  return (
    <span class="button kept" aria-hidden="true">
      {children}
    </span>
  );
}

/**
 * Free storage required, bytes: about twice that of eight cylinders, dry and wet, at 1000 samples a second, in both
 * journals.
 */
const LEAST_ROOM_BYTES = 50e6;

/** Warns about low storage before the measurement: a disk that fills up during it may cost more than this test. */
function LittleRoom() {
  const { t, say } = useReader();
  const { loaded } = useLoaded('room', () => storageHealth());
  if (loaded.state !== 'ready') return null;
  const { usedBytes, quotaBytes } = loaded.value;
  if (usedBytes === null || quotaBytes === null || quotaBytes - usedBytes >= LEAST_ROOM_BYTES) return null;
  const mb = Math.max(0, quotaBytes - usedBytes) / 1e6;
  return (
    <p class="action-why" role="status">
      {say(t.crank.littleRoom, { mb })}
    </p>
  );
}

function canRetake(capture: Capture): boolean {
  const { phase, lastTakeId } = capture.state.value;
  return phase === 'cranking' || lastTakeId !== null;
}

interface AtHand {
  /** The analysis has failed, so no stroke starts a take. */
  readonly isUnseen: boolean;
  /** The last reading of the current cylinder had too few strokes. */
  readonly isAgain: boolean;
  readonly isRotor: boolean;
  /** `null` before a plan. */
  readonly cylinder: number | null;
}

/**
 * Label of the stop button, which has a fixed place: phases change by themselves, and a tap must not hit the opposite
 * action.
 */
function stopWords(phase: CapturePhase, { t }: Reader): string | null {
  switch (phase) {
    case 'zeroing':
    case 'waiting':
      return t.crank.disarm;
    case 'cranking':
    case 'holding':
    case 'storing':
      return t.crank.stop;
    default:
      return null;
  }
}

function goAction(phase: CapturePhase, capture: Capture, { t, say }: Reader, atHand: AtHand) {
  const { isUnseen, isAgain, isRotor, cylinder } = atHand;
  const goOn = isRotor ? t.crank.goOnRotor : t.crank.goOn;
  switch (phase) {
    case 'zeroing':
    case 'waiting':
      return isUnseen ? { words: t.crank.recordAnyway, act: () => capture.recordAnyway() } : null;
    case 'cranking':
    case 'holding':
    case 'storing':
      return null;
    case 'moving':
      return {
        words: isAgain ? t.crank.retake : say(goOn, { cylinder: cylinder ?? '' }),
        act: () => capture.goOn(),
      };
    default:
      return { words: t.crank.arm, act: () => capture.arm() };
  }
}

/** Why listening cannot start. Cautions apply only to a real engine. */
function useArmBlock(loaded: LoadedTest): { words: string; goTo?: string } | null {
  const { capture } = useModel();
  const { t, say } = useReader();
  const connection = capture.connection.value;
  const code = capture.armBlock.value;
  const left = untickedMusts(loaded.engine.facts, loaded.test.conditions.ticked).length;
  if ('kind' in connection && originOf(connection.kind) === 'measured' && left > 0) {
    return { words: say(t.prepare.left, { n: left }), goTo: `tests/${loaded.test.id}/prepare` };
  }
  return code ? { words: t.armBlock[code] } : null;
}

/** Starter of the simulated engine. Shown when ready or, without analysis, while recording. */
function StarterButton({ isUnseen }: { isUnseen: boolean }) {
  const { capture } = useModel();
  const { t } = useReader();
  const simulator = capture.simulator.value;
  const { phase } = capture.state.value;
  if (!simulator || phase !== (isUnseen ? 'cranking' : 'waiting')) return null;
  return (
    <Button kind="main" onClick={() => simulator.crank()}>
      {t.crank.turnStarter}
    </Button>
  );
}
