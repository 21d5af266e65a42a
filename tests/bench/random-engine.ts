/** Sound engines with random variation: the base of the benches' populations. */
import { makeEngine, type SimulatedEngine } from '../../simulator/engine.ts';
import type { Random } from '../../simulator/random.ts';
import { cylindersOf, layoutFromName } from '../../worker/core/layouts.ts';

type Range = readonly [low: number, high: number];

/** The leak past sound rings is drawn from `ringMm2`; the walls' cooling of the gas from `wallHeat` (1 when omitted). */
export function drawSoundEngine(
  random: Random,
  layoutName: string,
  { ringMm2, wallHeat }: { readonly ringMm2: Range; readonly wallHeat?: Range },
): SimulatedEngine {
  const layout = layoutFromName(layoutName)!;
  const boreMm = random.between(70, 95);
  const strokeMm = boreMm * random.between(0.88, 1.1);
  const health = () => ({
    ringMm2: random.between(...ringMm2),
    ringDryFactor: random.between(1.1, 1.9),
    ringSettlingKpaS: random.between(8, 30),
    carbonShare: random.between(0, 0.015),
  });
  return makeEngine({
    layout,
    boreMm,
    strokeMm,
    rodMm: strokeMm * random.between(1.55, 1.75),
    compressionRatio: random.between(8.5, 11),
    intakeClosesDegAbdc: random.between(40, 66),
    exhaustOpensDegBbdc: random.between(40, 60),
    wallKelvin: random.between(310, 365),
    ...(wallHeat && { wallHeat: random.between(...wallHeat) }),
    drive: {
      crankingRpm: random.between(180, 290),
      sagPer10S: random.chance(0.3) ? random.between(0, 0.15) : 0.03,
    },
    health: Object.fromEntries(cylindersOf(layout).map((cylinder) => [cylinder, health()])),
  });
}
