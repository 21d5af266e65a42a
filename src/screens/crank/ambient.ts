/** Sea level in the US Standard Atmosphere 1976, kPa. */
export const STANDARD_AMBIENT_KPA = 101.325;
