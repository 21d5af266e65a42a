/** Default units by region. Pure. */
import { METRIC_UNITS, type QuantityUnits, US_UNITS } from '../../worker/core/quantities.ts';
import type { DisplayUnit } from '../../worker/core/units.ts';

/** The units of all quantities; `unit` is that of cylinder pressures. */
export interface UnitChoice {
  readonly unit: DisplayUnit;
  readonly units: QuantityUnits;
}

/** CLDR, measurement system and temperature: the United States with their territories. */
const US_REGIONS = ['US', 'AS', 'GU', 'MP', 'PR', 'UM', 'VI'];
/** Roads in miles, the rest metric, gauges in psi. */
const UK_REGIONS = ['GB', 'GG', 'IM', 'JE'];
/** Compression gauges and manuals in psi (common practice, no source). */
const PSI_REGIONS = [...US_REGIONS, ...UK_REGIONS, 'CA', 'IE'];
/** Manuals in kPa (common practice, no source). Elsewhere in bar. */
const KPA_REGIONS = ['AU', 'CN', 'JP', 'NZ', 'ZA'];

/** The usual units of a region. `language`: BCP 47 tag; without a region, the most likely one of the language. */
export function unitsOfRegion(language: string): UnitChoice {
  const region = new Intl.Locale(language).maximize().region ?? '';
  return {
    unit: PSI_REGIONS.includes(region) ? 'psi' : KPA_REGIONS.includes(region) ? 'kPa' : 'bar',
    units: quantityUnits(region),
  };
}

function quantityUnits(region: string): QuantityUnits {
  if (US_REGIONS.includes(region)) return US_UNITS;
  if (UK_REGIONS.includes(region)) return { ...METRIC_UNITS, distance: 'mi' };
  // The Canadian weather service reports kilopascals.
  if (region === 'CA') return { ...METRIC_UNITS, barometer: 'kPa' };
  return METRIC_UNITS;
}
