/** The state of the capture and of its source, in words. Pure. */
import type { LiveReading } from '../../../worker/core/reading.ts';
import { isTooShort } from '../../../worker/core/reading-quality.ts';
import type { CaptureState, Connection, PlanItem, TakeResult } from '../../capture/contract.ts';
import type { Reader } from '../../components/reader.ts';
import { sourceName } from '../../components/source-words.ts';
import type { LoadedTest } from '../../library/library.ts';

interface AtHand {
  /** The cylinder that was cranked last, where that is known: its hose need not be moved to measure it once more. */
  readonly hoseIn?: number | null;
  /** There is a reading already of what comes next. */
  readonly isMeasured?: boolean;
  /** Strokes of a reading just taken of this cylinder that were too few to count. */
  readonly tooShort?: number | null;
  /** The analysis has failed: no stroke is seen. */
  readonly isUnseen?: boolean;
}

export function phaseWords(
  state: CaptureState,
  live: LiveReading | null,
  connection: Connection,
  { t, say }: Reader,
  { hoseIn = null, isMeasured = false, tooShort = null, isUnseen = false }: AtHand = {},
): string {
  const cylinder = state.plan[state.at]?.cylinder;
  if (state.phase === 'cranking' && live?.settled) return t.phase.crankingSettled;
  if (state.phase === 'holding' && live?.phase === 'level')
    return live.settled ? t.phase.levelSettled : t.phase.stillCranking;
  if (state.phase === 'done' || cylinder === undefined) return t.phase.done;
  if (state.phase === 'idle' && !('info' in connection))
    return say(isMeasured ? t.phase.measured : t.phase.unconnected, { cylinder });
  if (isUnseen && (state.phase === 'zeroing' || state.phase === 'waiting'))
    return say(t.phase.unseen, { cylinder });
  if (isUnseen && state.phase === 'cranking') return say(t.phase.recording, { cylinder });
  if (tooShort !== null && (state.phase === 'moving' || state.phase === 'idle'))
    return say(t.phase.tooShort, { cylinder, strokes: tooShort });
  if (state.phase === 'zeroing' && state.notAtRest) return t.phase.notAtRest;
  if (state.phase === 'moving' && cylinder === hoseIn) return say(t.phase.staying, { cylinder });
  return say(t.phase[state.phase], { cylinder });
}

/** Strokes of the newest reading, if it is of what is at hand, was not taken back, and they were too few to count. */
export function shortStrokes(
  result: TakeResult | null,
  item: PlanItem | undefined,
  { takes }: LoadedTest,
): number | null {
  if (!result || !isTooShort(result.reading)) return null;
  const { id, cylinder, condition } = result.take;
  if (cylinder !== item?.cylinder || condition !== item.condition) return null;
  const isAside = takes.some(({ take }) => take.id === id && take.state === 'set-aside');
  return isAside ? null : result.reading.strokes.length;
}

export function connectionWords(connection: Connection, reader: Reader): string {
  const { t, say } = reader;
  switch (connection.state) {
    case 'none':
      return connection.finished ? t.connection.finished : t.connection.none;
    case 'streaming':
      return say(t.connection.streaming, {
        name: sourceName(connection.info, reader),
        // In the first second none are counted yet, which is not the same as none coming.
        rate: connection.samplesPerS > 0 ? Number(connection.samplesPerS.toPrecision(2)) : null,
        battery: connection.batteryPercent === undefined ? null : connection.batteryPercent / 100,
      });
    case 'silent':
      return say(t.connection.silent, {
        name: sourceName(connection.info, reader),
        forS: Math.max(1, connection.forS),
      });
    case 'reconnecting':
      return say(t.connection.reconnecting, { attempt: connection.attempt });
    case 'lost':
      return t.source[connection.problem.code] || t.connection.lost;
    default:
      return t.connection[connection.state];
  }
}
