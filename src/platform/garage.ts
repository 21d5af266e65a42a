/** The workshop's head on reports. Part of the settings, so it loads at once: only data and checks here. Pure. */

export interface Garage {
  readonly name: string;
  /** Several lines. */
  readonly address: string;
  readonly telephone: string;
  /** JPEG file as base64; empty without a logo. */
  readonly logo: string;
}

export const EMPTY_GARAGE: Garage = { name: '', address: '', telephone: '', logo: '' };

/**
 * Characters of a line, of the address and of a stored logo, and bytes of a file that a logo is made from. Browsers keep
 * about 5 million characters of settings for an address.
 */
export const GARAGE_LIMITS = { line: 120, address: 400, logo: 400_000, fileBytes: 10e6 } as const;

const LONGEST: Readonly<Record<keyof Garage, number>> = {
  name: GARAGE_LIMITS.line,
  address: GARAGE_LIMITS.address,
  telephone: GARAGE_LIMITS.line,
  logo: GARAGE_LIMITS.logo,
};

/** Whether a stored value is a garage. */
export function isGarage(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  return Object.entries(LONGEST).every(([key, longest]) => {
    const text: unknown = Reflect.get(value, key);
    return typeof text === 'string' && text.length <= longest;
  });
}
