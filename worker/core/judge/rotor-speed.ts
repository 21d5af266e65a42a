/** Speed at which makers of rotary engines state their figures, rpm of the eccentric shaft. Common practice, no source. */
export const ROTOR_RPM = 250;

/**
 * Power of the pressure in cranking speed: a slower rotor loses more past its seals. From the simulated rotor, whose
 * power is 0.6 at 1000 kPa, 0.75 at 800 and 0.95 at 600; the half width covers these.
 */
const POWER = { mean: 0.75, plusMinus: 0.25 } as const;

/** Beyond these speeds the correction is not extended. */
const WITHIN_RPM = { least: 150, most: 400 } as const;

/** Factor to the pressure at `ROTOR_RPM`: above 1 for slower cranking, below 1 for faster. Its half width is 95 %. */
export interface SpeedCorrection {
  readonly factor: number;
  readonly plusMinus: number;
}

/** The correction for a cranking speed; `null` when that is not known. */
export function speedCorrection(rpm: number | null): SpeedCorrection | null {
  if (rpm === null || !(rpm > 0)) return null;
  const log = Math.log(ROTOR_RPM / Math.min(WITHIN_RPM.most, Math.max(WITHIN_RPM.least, rpm)));
  const factor = Math.exp(POWER.mean * log);
  return { factor, plusMinus: factor * POWER.plusMinus * Math.abs(log) };
}

/** A pressure at `ROTOR_RPM` with its half width. Without a correction it stays as measured. */
export function atRotorSpeed(
  kpa: number,
  plusMinusKpa: number,
  correction: SpeedCorrection | null,
): { readonly kpa: number; readonly plusMinusKpa: number } {
  if (!correction) return { kpa, plusMinusKpa };
  return {
    kpa: kpa * correction.factor,
    plusMinusKpa: Math.hypot(plusMinusKpa * correction.factor, kpa * correction.plusMinus),
  };
}
