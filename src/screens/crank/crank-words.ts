/** Texts for the state of the capture and its source. Pure. */
import type { LiveReading } from '../../../worker/core/reading.ts';
import { isTooShort } from '../../../worker/core/reading-quality.ts';
import type { CaptureState, PlanItem } from '../../capture/capture-state.ts';
import type { Connection } from '../../capture/connection-state.ts';
import type { TakeResult } from '../../capture/port.ts';
import type { Reader } from '../../components/reader.ts';
import { sourceName } from '../../components/source-words.ts';
import type { LoadedTest } from '../../library/library.ts';

interface AtHand {
  /** Cylinder that has the hose; `null` when unknown. Repeating it needs no move of the hose. */
  readonly hoseIn?: number | null;
  /** The next cylinder already has a reading. */
  readonly isMeasured?: boolean;
  /** Number of strokes of the last reading of this cylinder when too few to count; else `null`. */
  readonly tooShort?: number | null;
  /** The analysis has failed, so strokes are not detected. */
  readonly isUnseen?: boolean;
  /** A rotary engine: the sentences name rotors. */
  readonly isRotor?: boolean;
}

/** Instruction for the current phase, in one sentence. */
export function phaseWords(
  state: CaptureState,
  live: LiveReading | null,
  connection: Connection,
  { t, say }: Reader,
  { hoseIn = null, isMeasured = false, tooShort = null, isUnseen = false, isRotor = false }: AtHand = {},
): string {
  const words = isRotor ? { ...t.phase, ...t.rotorPhase } : t.phase;
  const cylinder = state.plan[state.at]?.cylinder;
  if (state.phase === 'cranking' && live?.settled) return words.crankingSettled;
  if (state.phase === 'holding' && live?.phase === 'level')
    return live.settled ? words.levelSettled : words.stillCranking;
  if (state.phase === 'done' || cylinder === undefined) return words.done;
  if (state.phase === 'idle' && !('info' in connection))
    return say(isMeasured ? words.measured : words.unconnected, { cylinder });
  if (isUnseen && (state.phase === 'zeroing' || state.phase === 'waiting'))
    return say(words.unseen, { cylinder });
  if (isUnseen && state.phase === 'cranking') return say(words.recording, { cylinder });
  if (tooShort !== null && (state.phase === 'moving' || state.phase === 'idle'))
    return say(words.tooShort, { cylinder, strokes: tooShort });
  if (state.phase === 'zeroing' && state.notAtRest) return words.notAtRest;
  if (state.phase === 'moving' && cylinder === hoseIn) return say(words.staying, { cylinder });
  return say(words[state.phase], { cylinder });
}

/**
 * Strokes of the newest reading when too few to count. `null` when it is of another cylinder or condition, or set
 * aside.
 */
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

/** State of the connection in one sentence. */
export function connectionWords(connection: Connection, reader: Reader): string {
  const { t, say } = reader;
  switch (connection.state) {
    case 'none':
      return connection.finished ? t.connection.finished : t.connection.none;
    case 'streaming':
      return say(connection.kind === 'camera' ? t.camera.pictures : t.connection.streaming, {
        name: sourceName(connection.info, reader),
        // No rate in the first second: it is not known yet, which differs from zero.
        rate: connection.samplesPerS > 0 ? Number(connection.samplesPerS.toPrecision(2)) : null,
        battery: connection.batteryPercent === undefined ? null : connection.batteryPercent / 100,
      });
    case 'silent':
      if (connection.kind === 'camera') return unseenWords(connection, reader);
      return say(t.connection.silent, {
        name: sourceName(connection.info, reader),
        forS: Math.max(1, connection.forS),
      });
    case 'reconnecting':
      if (connection.kind === 'serial') return t.connection.pulled;
      return say(connection.kind === 'camera' ? t.camera.reconnecting : t.connection.reconnecting, {
        attempt: connection.attempt,
      });
    case 'lost':
      return t.source[connection.problem.code] || t.connection.lost;
    default:
      return t.connection[connection.state];
  }
}

/** Why the camera reads nothing. */
function unseenWords({ reason, forS }: Extract<Connection, { state: 'silent' }>, { t, say }: Reader): string {
  const { none, ...known }: Readonly<Record<string, string>> = t.camera.unseen;
  return say((reason && known[reason]) ?? none ?? '', { forS: Math.max(1, forS) });
}
