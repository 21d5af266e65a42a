import type { GapReason } from '../../../worker/core/trace.ts';
import { toKpa } from '../../../worker/core/units.ts';
import type { DialReading } from '../../../worker/dial/read-dial.ts';
import type { DialFacts } from '../../../worker/file/records.ts';
import type { SampleSink } from '../port.ts';

/** Turns readings into samples, and frames without a clear reading into gaps. */
export interface DialSamples {
  /**
   * Takes the reading of the next frame. `nowS`: time since the source was opened, seconds; `arrivedMs`: the host's clock.
   * Whether it was clear.
   */
  read(reading: DialReading, nowS: number, arrivedMs: number): boolean;
  /** The frames stopped, and their clock may start again. */
  interrupted(): void;
  /** Time of the newest sample, seconds; `null` before the first. */
  lastS(): number | null;
  /** Why the newest frames have no clear reading; `undefined` when they have one. */
  reason(): GapReason | undefined;
}

const REASONS: Readonly<Record<Exclude<DialReading['state'], 'ok'>, GapReason>> = {
  moving: 'needle-moving',
  hidden: 'needle-hidden',
  glare: 'glare',
  lost: 'dial-lost',
};

/** Frames that are missing for this long are a gap, seconds. */
const MISSING_S = 0.25;

export function createDialSamples(sink: SampleSink, unit: DialFacts['unit']): DialSamples {
  /** Added to the time of a frame; `null` until the next frame fixes it. */
  let offsetS: number | null = null;
  let lastS: number | null = null;
  /** Frames without a clear reading since the last one, by reason. */
  let unclear = new Map<GapReason, number>();

  /** Reason of most of the frames. */
  const reason = (): GapReason | undefined => [...unclear].sort(([, a], [, b]) => b - a)[0]?.[0];

  return {
    read({ timeS, state, value }, nowS, arrivedMs) {
      // The first frame is at 0; after an interruption the frames go on at the time that has passed.
      offsetS ??= (lastS === null ? 0 : Math.max(nowS, lastS + 0.001)) - timeS;
      const atS = timeS + offsetS;
      if (lastS !== null && atS <= lastS) return false;
      if (state !== 'ok' || value === null) {
        const why = state === 'ok' ? 'needle-hidden' : REASONS[state];
        unclear.set(why, (unclear.get(why) ?? 0) + 1);
        return false;
      }
      const why = reason() ?? (lastS !== null && atS - lastS > MISSING_S ? 'silence' : undefined);
      unclear = new Map();
      if (lastS !== null && why !== undefined) sink.gap({ startS: lastS, endS: atS, reason: why });
      lastS = atS;
      sink.block(
        { timeS: Float64Array.of(atS), pressureKpa: Float64Array.of(toKpa(value, unit)) },
        arrivedMs,
      );
      return true;
    },
    interrupted() {
      offsetS = null;
      unclear = new Map([['link-lost', Number.POSITIVE_INFINITY]]);
    },
    lastS: () => lastS,
    reason,
  };
}
