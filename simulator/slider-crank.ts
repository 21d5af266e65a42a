export function pistonAreaMm2(boreMm: number): number {
  return (Math.PI / 4) * boreMm * boreMm;
}

export function sweptMm3(boreMm: number, strokeMm: number): number {
  return pistonAreaMm2(boreMm) * strokeMm;
}
