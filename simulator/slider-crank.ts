/** Area of the piston, mm2. */
export function pistonAreaMm2(boreMm: number): number {
  return (Math.PI / 4) * boreMm * boreMm;
}

/** Swept volume of one cylinder, mm3. */
export function sweptMm3(boreMm: number, strokeMm: number): number {
  return pistonAreaMm2(boreMm) * strokeMm;
}
