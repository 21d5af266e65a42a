import type { LineUnits } from '../../../worker/wire/serial-line.ts';

/** What the user has said of sensors that send bare numbers or volts. */
export type CableSettings = LineUnits;
