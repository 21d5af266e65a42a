import type { Gap, GapReason, SampleBlock, Trace } from '../worker/core/trace.ts';
import type { Random } from './random.ts';

/** Disturbances of the samples between sensor and recording. */
export interface Damage {
  /** Number of single wild samples. */
  readonly spikes: number;
  /** Largest error of a wild sample, kPa. */
  readonly spikeKpa: number;
  /** Share of packets lost, 0 to 1, and the samples in each. */
  readonly packetLoss: number;
  readonly samplesPerPacket: number;
  /** Times without a link, s. */
  readonly dropouts: readonly { readonly startS: number; readonly endS: number }[];
}

/** A recording without disturbances. */
export const NO_DAMAGE: Damage = {
  spikes: 0,
  spikeKpa: 900,
  packetLoss: 0,
  samplesPerPacket: 10,
  dropouts: [],
};

/** Applies `damage` to `block`. A gap runs from the last sample before it to the first one after it. */
export function damageTrace(block: SampleBlock, damage: Damage, random: Random): Trace {
  const pressureKpa = Float64Array.from(block.pressureKpa);
  const spikes = random.fork(1);
  for (let n = 0; n < damage.spikes && pressureKpa.length > 0; n++) {
    const at = spikes.index(pressureKpa.length);
    pressureKpa[at]! += (spikes.chance(0.5) ? 1 : -1) * damage.spikeKpa * spikes.between(0.4, 1);
  }
  const losses = random.fork(2);
  const packets = Math.ceil(pressureKpa.length / damage.samplesPerPacket);
  const lost = Array.from({ length: packets }, () => losses.chance(damage.packetLoss));
  const why = (i: number): GapReason | undefined => {
    const t = block.timeS[i]!;
    if (damage.dropouts.some((d) => t >= d.startS && t < d.endS)) return 'link-lost';
    return lost[Math.floor(i / damage.samplesPerPacket)] ? 'packets-lost' : undefined;
  };
  const kept: number[] = [];
  const gaps: Gap[] = [];
  let reason: GapReason | undefined;
  for (let i = 0; i < pressureKpa.length; i++) {
    const here = why(i);
    if (here) {
      reason = reason === 'link-lost' ? reason : here;
      continue;
    }
    const before = kept.at(-1);
    if (reason && before !== undefined) {
      gaps.push({ startS: block.timeS[before]!, endS: block.timeS[i]!, reason });
    }
    reason = undefined;
    kept.push(i);
  }
  return {
    timeS: Float64Array.from(kept, (i) => block.timeS[i]!),
    pressureKpa: Float64Array.from(kept, (i) => pressureKpa[i]!),
    gaps,
  };
}
