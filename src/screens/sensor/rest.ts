import type { LiveBuffer } from '../../capture/live-buffer.ts';

const REST_S = 2;

/** Mean and RMS of the last two seconds, kPa as reported; `null` without samples. */
export function restOf(buffer: LiveBuffer): { meanKpa: number; noiseKpa: number } | null {
  if (buffer.lastS === null) return null;
  const { pressureKpa } = buffer.slice(buffer.lastS - REST_S);
  if (pressureKpa.length === 0) return null;
  const meanKpa = pressureKpa.reduce((sum, kpa) => sum + kpa, 0) / pressureKpa.length;
  const squares = pressureKpa.reduce((sum, kpa) => sum + (kpa - meanKpa) ** 2, 0);
  return { meanKpa, noiseKpa: Math.sqrt(squares / pressureKpa.length) };
}
