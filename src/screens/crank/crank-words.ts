/** The state of the capture and of its source, in words. Pure. */
import type { LiveReading } from '../../../worker/core/reading.ts';
import type { CaptureState, Connection } from '../../capture/port.ts';
import type { Reader } from '../../components/reader.ts';
import { sourceName } from '../../components/source-words.ts';

interface AtHand {
  /** The cylinder that was cranked last, where that is known: its hose need not be moved to measure it once more. */
  readonly hoseIn?: number | null;
  /** There is a reading already of what comes next. */
  readonly isMeasured?: boolean;
  /** Strokes of a reading just taken of this cylinder that were too few to count. */
  readonly tooShort?: number | null;
}

export function phaseWords(
  state: CaptureState,
  live: LiveReading | null,
  connection: Connection,
  { t, say }: Reader,
  { hoseIn = null, isMeasured = false, tooShort = null }: AtHand = {},
): string {
  const cylinder = state.plan[state.at]?.cylinder;
  if (state.phase === 'cranking' && live?.settled) return t.phase.crankingSettled;
  if (state.phase === 'done' || cylinder === undefined) return t.phase.done;
  if (state.phase === 'idle' && !('info' in connection))
    return say(isMeasured ? t.phase.measured : t.phase.unconnected, { cylinder });
  if (tooShort !== null && (state.phase === 'moving' || state.phase === 'idle'))
    return say(t.phase.tooShort, { cylinder, strokes: tooShort });
  if (state.phase === 'zeroing' && state.notAtRest) return t.phase.notAtRest;
  if (state.phase === 'moving' && cylinder === hoseIn) return say(t.phase.staying, { cylinder });
  return say(t.phase[state.phase], { cylinder });
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
