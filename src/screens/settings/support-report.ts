/** Report for diagnosing a fault: plain lines, always in English. Pure. */

import type { AnalystHealth } from '../../analysis/analyst.ts';
import type { JournalHealth, Meters } from '../../capture/port.ts';
import type { ReceivedNote } from '../../platform/received-log.ts';
import type { RememberedCable } from '../../sources/serial/remembered.ts';
import type { StorageHealth } from '../../store/health.ts';
import type { StoreCounts } from '../../store/port.ts';
import { type Ability, FEATURES, type Feature } from './browser-features.ts';

export interface SupportFacts {
  /** Version of the running app; `null` in development. */
  readonly version: string | null;
  readonly userAgent: string;
  readonly features: Readonly<Record<Feature, Ability>>;
  readonly storage: StorageHealth;
  /** `null` when the store does not answer. */
  readonly counts: StoreCounts | null;
  readonly journal: JournalHealth;
  readonly analyst: AnalystHealth;
  readonly meters: Meters;
  /** Devices used by cable, newest first. */
  readonly cables: readonly RememberedCable[];
  /** Files received from outside, newest first. */
  readonly received: readonly ReceivedNote[];
  readonly connection: readonly string[];
  /** With what the library was shared, and when. */
  readonly shares: readonly string[];
  /** The last errors, without personal data. */
  readonly errors: readonly string[];
}

/** The report as text. */
export function supportReport(facts: SupportFacts): string {
  const { storage, journal, meters, counts } = facts;
  const can = FEATURES.map((feature) => `${feature} ${inWord(facts.features[feature])}`);
  const refused = journal.state === 'behind' ? ` (${journal.problem.code})` : '';
  return [
    `Strokebook ${facts.version ?? 'in development'}`,
    `Browser: ${facts.userAgent}`,
    `Can: ${can.join(', ')}`,
    `Store: ${room(storage)}, ${counted(counts)}`,
    `Capture: ${journal.state}${refused}, analysis ${facts.analyst}, samples ${meters.arrivedCount} arrived, ${meters.storedCount} stored`,
    'Devices by cable:',
    ...(facts.cables.length > 0 ? facts.cables.map(cableLine) : ['none yet']),
    'Files received:',
    ...(facts.received.length > 0 ? facts.received.map(receivedLine) : ['none yet']),
    'Last connection:',
    ...(facts.connection.length > 0 ? facts.connection : ['none yet']),
    'Shared with:',
    ...(facts.shares.length > 0 ? facts.shares : ['nothing']),
    'Last errors:',
    ...(facts.errors.length > 0 ? facts.errors : ['none']),
    '',
  ].join('\n');
}

const hex = (n: number | undefined): string => (n === undefined ? '?' : n.toString(16).padStart(4, '0'));

const cableLine = ({ usbVendorId, usbProductId, baudRate, layout, usedAt }: RememberedCable): string =>
  `${usedAt}  USB ${hex(usbVendorId)}:${hex(usbProductId)}, ${baudRate} baud, ${layout}`;

const receivedLine = ({ at, by, ending, bytes }: ReceivedNote): string =>
  `${at}  by ${by}: ${ending === '' ? 'a file' : `.${ending}`}, ${megabytes(bytes)}`;

const inWord = (ability: Ability): string => (ability === 'untried' ? 'untried' : ability ? 'yes' : 'no');

const counted = (counts: StoreCounts | null): string =>
  counts ? `${counts.engines} engines, ${counts.tests} tests` : 'what is in it cannot be read';

/** Used and total storage; browsers may report either, both or none. */
function room({ usedBytes, quotaBytes }: StorageHealth): string {
  if (usedBytes === null) return 'size unknown';
  return quotaBytes === null
    ? `${megabytes(usedBytes)} used`
    : `${megabytes(usedBytes)} of ${megabytes(quotaBytes)}`;
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
