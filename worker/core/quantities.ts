/**
 * Units of the quantities beside the cylinder pressure. Values are stored in kPa, m, °C, km and mm, as the field names say;
 * screens convert at the edge.
 */

/**
 * Kilopascals per conventional inch of mercury: 3386.389 Pa, NIST SP 811 (2008), App. B. Barometers and weather reports
 * use it.
 */
const KPA_PER_INHG = 3.386389;
/** International foot, inch and statute mile, exact by definition (yard and pound agreement 1959). */
const M_PER_FT = 0.3048;
const MM_PER_IN = 25.4;
const KM_PER_MI = 1.609344;

interface Scale {
  /** Stored units in one of this unit. */
  readonly per: number;
  /** Value in this unit where the stored value is zero. */
  readonly zeroAt?: number;
  /** Decimal places that are meaningful on a screen. */
  readonly digits: number;
  /** Decimal places that a field keeps of what was typed. */
  readonly typedDigits: number;
}

const SCALES = {
  barometer: {
    hPa: { per: 0.1, digits: 0, typedDigits: 2 },
    inHg: { per: KPA_PER_INHG, digits: 2, typedDigits: 3 },
    kPa: { per: 1, digits: 1, typedDigits: 3 },
  },
  altitude: {
    m: { per: 1, digits: 0, typedDigits: 2 },
    ft: { per: M_PER_FT, digits: 0, typedDigits: 1 },
  },
  temperature: {
    '°C': { per: 1, digits: 0, typedDigits: 2 },
    '°F': { per: 5 / 9, zeroAt: 32, digits: 0, typedDigits: 1 },
  },
  distance: {
    km: { per: 1, digits: 0, typedDigits: 1 },
    mi: { per: KM_PER_MI, digits: 0, typedDigits: 1 },
  },
  length: {
    mm: { per: 1, digits: 1, typedDigits: 4 },
    in: { per: MM_PER_IN, digits: 3, typedDigits: 4 },
  },
  /** Lengths of about a millimetre, such as a plug gap, in the unit of `length`. */
  gap: {
    mm: { per: 1, digits: 2, typedDigits: 4 },
    in: { per: MM_PER_IN, digits: 3, typedDigits: 4 },
  },
} as const satisfies Readonly<Record<string, Readonly<Record<string, Scale>>>>;

export type Quantity = keyof typeof SCALES;

/** The reader's unit for each quantity. `length` also applies to a `gap`. */
export interface QuantityUnits {
  readonly barometer: keyof (typeof SCALES)['barometer'];
  readonly altitude: keyof (typeof SCALES)['altitude'];
  readonly temperature: keyof (typeof SCALES)['temperature'];
  readonly distance: keyof (typeof SCALES)['distance'];
  readonly length: keyof (typeof SCALES)['length'];
}

/** Units selectable on a screen. */
export const QUANTITY_UNITS: {
  readonly [Q in keyof QuantityUnits]: readonly QuantityUnits[Q][];
} = {
  barometer: ['hPa', 'inHg', 'kPa'],
  altitude: ['m', 'ft'],
  temperature: ['°C', '°F'],
  distance: ['km', 'mi'],
  length: ['mm', 'in'],
};

export const METRIC_UNITS: QuantityUnits = {
  barometer: 'hPa',
  altitude: 'm',
  temperature: '°C',
  distance: 'km',
  length: 'mm',
};

export const US_UNITS: QuantityUnits = {
  barometer: 'inHg',
  altitude: 'ft',
  temperature: '°F',
  distance: 'mi',
  length: 'in',
};

/** Whether `name` is a quantity. */
export const isQuantity = (name: string): name is Quantity => Object.hasOwn(SCALES, name);

/** Symbol of the reader's unit, as written after a figure. */
export const symbolOf = (quantity: Quantity, units: QuantityUnits): string =>
  units[quantity === 'gap' ? 'length' : quantity];

/** Scale of the reader's unit. */
export function scaleOf(quantity: Quantity, units: QuantityUnits): Scale {
  const scales: Readonly<Record<string, Scale>> = SCALES[quantity];
  // The types of `QuantityUnits` allow only units that are listed.
  return scales[symbolOf(quantity, units)] as Scale;
}

/** Converts a stored value to the reader's unit. */
export function toReader(stored: number, quantity: Quantity, units: QuantityUnits): number {
  const { per, zeroAt = 0 } = scaleOf(quantity, units);
  return stored / per + zeroAt;
}

/** Converts a value in the reader's unit to the stored one: kPa, m, °C, km or mm. */
export function fromReader(value: number, quantity: Quantity, units: QuantityUnits): number {
  const { per, zeroAt = 0 } = scaleOf(quantity, units);
  return (value - zeroAt) * per;
}
