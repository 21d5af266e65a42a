/** Lengths in millimetres; `clearanceMm3` is the volume left above the piston at top dead centre. */
export interface SliderCrank {
  readonly boreMm: number;
  readonly strokeMm: number;
  readonly rodMm: number;
  readonly clearanceMm3: number;
}

export function pistonAreaMm2(boreMm: number): number {
  return (Math.PI / 4) * boreMm * boreMm;
}

export function sweptMm3(boreMm: number, strokeMm: number): number {
  return pistonAreaMm2(boreMm) * strokeMm;
}

/** Piston travel below top dead centre, mm. Heywood eq. 2.5. */
function pistonTravelMm(crank: SliderCrank, angleRad: number): number {
  const radius = crank.strokeMm / 2;
  const across = radius * Math.sin(angleRad);
  return crank.rodMm + radius * (1 - Math.cos(angleRad)) - Math.sqrt(crank.rodMm ** 2 - across ** 2);
}

/** Volume above the piston, mm3; 0 radians is top dead centre. Heywood eq. 2.4. */
export function volumeMm3(crank: SliderCrank, angleRad: number): number {
  return crank.clearanceMm3 + pistonAreaMm2(crank.boreMm) * pistonTravelMm(crank, angleRad);
}
