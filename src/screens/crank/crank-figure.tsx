import { USUAL_RPM } from '../../../worker/core/cranking-range.ts';
import { isRotary } from '../../../worker/core/engine.ts';
import { settleToleranceKpa } from '../../../worker/core/measure/settle.ts';
import type { Stroke } from '../../../worker/core/reading.ts';
import { hasNotice, isTooShort } from '../../../worker/core/reading-quality.ts';
import type { Condition } from '../../../worker/core/trace.ts';
import type { CapturePhase } from '../../capture/capture-state.ts';
import { useModel, useReader } from '../../components/model.ts';
import { Tally } from '../../components/tally.tsx';
import type { LoadedTest } from '../../library/library.ts';

/** Content of the large figure. */
interface Shown {
  readonly kpa: number | null;
  readonly plusMinusKpa: number | null;
  readonly what: 'lastStroke' | 'final' | 'tooShort' | 'notRead' | 'now';
  readonly strokes: readonly Stroke[];
  readonly settledFrom: number | null;
  readonly rpm: number | null;
  readonly cylinder: number | null;
  readonly condition: Condition | null;
  /** Id of the take shown; `null` while it is not stored. */
  readonly takeId: string | null;
}

const COUNTING: readonly CapturePhase[] = ['cranking', 'holding', 'storing'];

/** The large figure, readable from three metres, with the tally below. */
export function CrankFigure({ loaded }: { loaded: LoadedTest }) {
  const { t, say, figure, plusMinus, list, unitSymbol } = useReader();
  const shown = useShown(loaded);
  const earlier = earlierFinals(loaded, shown);
  const dryKpa = dryFinal(loaded, shown);
  const text = figure(shown.kpa);
  return (
    <div class="crank-figure">
      <p class="figure-caption">
        <span>
          {shown.cylinder !== null &&
            say(isRotary(loaded.engine.facts) ? t.app.rotor : t.app.cylinder, { n: shown.cylinder })}
          {shown.condition === 'wet' && ` ${t.conditionLong.wet}`}, {t.crank[shown.what]}
        </span>
        <span class="figure-unit">
          {shown.plusMinusKpa !== null && <span class="quiet">± {plusMinus(shown.plusMinusKpa)} </span>}
          {unitSymbol}
        </span>
      </p>
      <div class="figure-box">
        <section
          class={shown.kpa === null ? 'figure none' : 'figure'}
          style={{ '--chars': text.length }}
          aria-label={t.crank.pressure}
        >
          {text}
        </section>
      </div>
      <div class="tally-line">
        {shown.strokes.length > 0 && <Tally strokes={shown.strokes} settledFrom={shown.settledFrom} />}
        <p>
          <span class="strong">{say(t.crank.strokes, { n: shown.strokes.length })}</span>
          <span class="quiet">{say(t.crank.tallyLine, { rpm: shown.rpm, settled: shown.settledFrom })}</span>
          {shown.rpm !== null && shown.rpm < USUAL_RPM && (
            <span class="problem slow-starter" role="status">
              {say(t.crank.slowStarter, { rpm: shown.rpm })}
            </span>
          )}
          {dryKpa !== null && (
            <span class="quiet earlier-takes">{say(t.crank.wetAfterDry, { dry: figure(dryKpa) })}</span>
          )}
          {earlier.length > 0 && (
            <span class="quiet earlier-takes">
              {say(t.crank.earlier, { list: list(earlier.map(figure)) })}
            </span>
          )}
        </p>
      </div>
    </div>
  );
}

/** The dry reading of the cylinder, kPa, while its wet one is shown; else `null`. */
function dryFinal({ counting }: LoadedTest, { cylinder, condition }: Shown): number | null {
  if (condition !== 'wet' || cylinder === null) return null;
  return counting.dry.get(cylinder)?.reading.finalKpa ?? null;
}

function useShown(loaded: LoadedTest): Shown {
  const { capture } = useModel();
  const { phase, plan, at } = capture.state.value;
  const live = capture.live.value;
  const result = capture.result.value;
  const item = plan[at];
  const cylinder = item?.cylinder ?? null;
  const condition = item?.condition ?? null;
  if (live && COUNTING.includes(phase)) {
    const last = live.strokes.findLast((stroke) => stroke.peakKpa !== null);
    return {
      kpa: last?.peakKpa ?? null,
      plusMinusKpa: null,
      what: 'lastStroke',
      strokes: live.strokes,
      settledFrom: live.settled ? settledFrom(live.strokes) : null,
      rpm: live.crankingRpm,
      cylinder,
      condition,
      takeId: null,
    };
  }
  const kept = item && loaded.counting[item.condition].get(item.cylinder);
  // A take that was set aside is not shown.
  const isAside = loaded.takes.some(({ take }) => take.id === result?.take.id && take.state === 'set-aside');
  const take = !isAside && (phase === 'moving' || phase === 'done' || !item) ? (result ?? kept) : kept;
  if (take) {
    const { reading } = take;
    const isShort = isTooShort(reading);
    return {
      kpa: reading.finalKpa,
      plusMinusKpa: isShort ? null : reading.finalPlusMinusKpa,
      what: isShort ? 'tooShort' : hasNotice(reading, 'analysis-failed') ? 'notRead' : 'final',
      strokes: reading.strokes,
      settledFrom: isShort ? null : reading.strokesToStabilise,
      rpm: reading.crankingRpm,
      cylinder: take.take.cylinder,
      condition: take.take.condition,
      takeId: take.take.id,
    };
  }
  const nowKpa = live?.pressureKpa ?? null;
  return {
    kpa: nowKpa,
    plusMinusKpa: null,
    what: 'now',
    strokes: [],
    settledFrom: null,
    rpm: null,
    cylinder,
    condition,
    takeId: null,
  };
}

/** Finals, kPa, of other finished takes of the same cylinder and condition, oldest first. */
function earlierFinals({ takes }: LoadedTest, { cylinder, condition, takeId }: Shown): number[] {
  return takes
    .filter(({ take }) => take.cylinder === cylinder && take.condition === condition)
    .filter(({ take }) => take.state === 'finished' && take.id !== takeId)
    .map(({ reading }) => reading.finalKpa)
    .filter((kpa) => kpa !== null);
}

/**
 * First stroke from which all peaks are near the newest one, as `strokesToStabilise` defines it for the final. `null`:
 * none.
 */
function settledFrom(strokes: readonly Stroke[]): number | null {
  const last = strokes.findLast((stroke) => stroke.peakKpa !== null)?.peakKpa;
  if (last === undefined || last === null) return null;
  const within = settleToleranceKpa(last);
  const strayed = strokes.findLast(
    (stroke) => stroke.peakKpa !== null && Math.abs(stroke.peakKpa - last) > within,
  );
  const after = strayed ? strayed.number + 1 : 1;
  return strokes.some((stroke) => stroke.number === after) ? after : null;
}
