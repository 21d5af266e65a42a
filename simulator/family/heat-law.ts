/** Heat transfer coefficients between the gas and the walls of a cranked cylinder. SI units. */

/**
 * - `woschni`: Woschni's law for a motored engine, with a gas speed that does not vanish with the piston's.
 * - `woschni-piston`: the same with the piston's speed only.
 * - `hohenberg`: Hohenberg's law.
 */
export type HeatLaw = 'woschni' | 'woschni-piston' | 'hohenberg';

/** Figures of the cylinder that the laws use. */
export interface HeatSetting {
  readonly boreM: number;
  readonly crankRadiusM: number;
  /** Factor on the law; 0 for no heat. */
  readonly scale: number;
}

/** Coefficient in W/(m2 K) at pressure (Pa), temperature (K), volume (m3) and crank speed (rad/s). */
export type HeatCoefficient = (pa: number, kelvin: number, m3: number, radPerS: number) => number;

/** Gas speed for wall heat in addition to the piston's, m/s. */
const STILL_M_PER_S = 1;

/**
 * Woschni, SAE 670931 (1967), without combustion: h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8 with p in kPa and w = 2.28 times the
 * mean piston speed (Heywood 1988, eq. 12.38 and 12.39; constants recalled).
 */
function woschni({ boreM, crankRadiusM, scale }: HeatSetting, stillMPerS: number): HeatCoefficient {
  const factor = 3.26 * scale * boreM ** -0.2;
  const gasSpeed = (2.28 * 2 * crankRadiusM) / Math.PI;
  return (pa, kelvin, _, radPerS) => {
    const w = gasSpeed * Math.abs(radPerS) + stillMPerS;
    return factor * Math.exp(0.8 * Math.log(pa * 0.001 * w) - 0.55 * Math.log(kelvin));
  };
}

/**
 * Hohenberg, SAE 790825 (1979): h = 130 V^-0.06 p^0.8 T^-0.4 (c + 1.4)^0.8 with p in bar, V the momentary volume in m3 and c the
 * mean piston speed in m/s (constants recalled).
 */
function hohenberg({ crankRadiusM, scale }: HeatSetting): HeatCoefficient {
  const pistonSpeed = (2 * crankRadiusM) / Math.PI;
  return (pa, kelvin, m3, radPerS) => {
    const w = pistonSpeed * Math.abs(radPerS) + 1.4;
    return 130 * scale * m3 ** -0.06 * (pa * 1e-5 * w) ** 0.8 * kelvin ** -0.4;
  };
}

/** The coefficient of a law for one cylinder. */
export function heatCoefficient(law: HeatLaw, setting: HeatSetting): HeatCoefficient {
  if (law === 'hohenberg') return hohenberg(setting);
  return woschni(setting, law === 'woschni' ? STILL_M_PER_S : 0);
}
