import type { Garage } from '../../platform/garage.ts';

/** Lines of an address on the report; a longer one continues on its last line, so that the head stays low. */
const MOST_ADDRESS_LINES = 5;

/** Name, lines of the address and telephone, without empty ones. Pure. */
export function garageLines({ name, address, telephone }: Garage): string[] {
  const full = (lines: readonly string[]) => lines.map((line) => line.trim()).filter((line) => line !== '');
  const all = full(address.split('\n'));
  const rest = all.slice(MOST_ADDRESS_LINES - 1).join(', ');
  return full([name, ...all.slice(0, MOST_ADDRESS_LINES - 1), rest, telephone]);
}
