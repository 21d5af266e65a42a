/**
 * All UUIDs used in the project, in long form and lower case, as Web Bluetooth reports them.
 *
 * 16-bit numbers: Bluetooth SIG, Assigned Numbers of 2026-06-23. The serial ones belong to no standard; common
 * serial-to-BLE modules announce them (common practice, no source). The `strokebook` ones are the project's own:
 * random version 4 UUIDs, free for anyone to use.
 */

/** Converts a 16-bit Bluetooth UUID to its long form. */
export function longUuid(short: number): string {
  return `0000${short.toString(16).padStart(4, '0')}-0000-1000-8000-00805f9b34fb`;
}

/** GATT services. */
export const SERVICES = {
  battery: longUuid(0x180f),
  deviceInformation: longUuid(0x180a),
  environmentalSensing: longUuid(0x181a),
  serialModule: longUuid(0xffe0),
  serialPort: '6e400001-b5a3-f393-e0a9-e50e24dcca9e',
  strokebook: '46db8f87-6a35-4d89-ac22-9bba671beac0',
} as const;

/** GATT characteristics. */
export const CHARACTERISTICS = {
  batteryLevel: longUuid(0x2a19),
  firmwareRevision: longUuid(0x2a26),
  manufacturerName: longUuid(0x2a29),
  modelNumber: longUuid(0x2a24),
  pressure: longUuid(0x2a6d),
  serialModuleData: longUuid(0xffe1),
  serialNumber: longUuid(0x2a25),
  serialPortOut: '6e400003-b5a3-f393-e0a9-e50e24dcca9e',
  strokebookPacked: '734ba4c9-1c54-4132-856e-3c83c767cf5f',
  strokebookText: 'fadf6305-ea45-4441-821d-847e226c3ebf',
} as const;

/** GATT descriptors. */
export const DESCRIPTORS = {
  presentationFormat: longUuid(0x2904),
  validRange: longUuid(0x2906),
} as const;

/**
 * Converts a UUID as people write it to the long lower-case form: `181A`, `0x181a`, 8 hex digits, or the full
 * 128 bits. `undefined` when it is none of these.
 */
export function normaliseUuid(text: string): string | undefined {
  const lower = text.trim().toLowerCase();
  const short = /^(?:0x)?(?:0000)?([0-9a-f]{4})$/.exec(lower)?.[1];
  if (short !== undefined) return longUuid(Number.parseInt(short, 16));
  return /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(lower) ? lower : undefined;
}
