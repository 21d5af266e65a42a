/** A session file with a value in every possible field, and the fingerprint after a single change. */
import { fingerprintOf } from '../../src/store/fingerprint.ts';
import type { EvidenceForm } from '../../worker/file/session/evidence-coverage.ts';
import { encodeSamples } from '../../worker/file/session/samples.ts';
import { checkSession } from '../../worker/file/session/session-file.ts';
import { block } from './store-records.ts';

const at = '2026-05-02T10:05:00.000Z';

export const FULL = {
  format: 'strokebook-session',
  version: 7,
  savedAt: at,
  engines: [
    {
      id: 'e1',
      name: 'Grey estate',
      facts: {
        cycle: 4,
        fuel: 'spark',
        layout: { kind: 'inline', rows: [[1, 2, 3, 4]] },
        manual: { minKpa: 900 },
        geometry: { boreMm: 84 },
      },
      origin: 'measured',
      createdAt: at,
      odometerKm: 1000,
      hours: 2.5,
      plugInterval: { km: 60_000 },
      identity: { make: 'M', model: 'Estate', registration: 'AB 1', engineCode: 'E4', customer: 'Somebody' },
    },
    {
      id: 'e2',
      name: 'Another',
      facts: {
        cycle: 4,
        fuel: 'spark',
        layout: { kind: 'inline', rows: [[1, 2, 3, 4]] },
        manual: {},
        geometry: {},
      },
      origin: 'measured',
      createdAt: at,
    },
  ],
  tests: [
    {
      id: 't1',
      engineId: 'e1',
      origin: 'measured',
      startedAt: at,
      takenOn: '2025-04-30',
      takenFrom: 'hand',
      conditions: {
        altitudeM: 120,
        ambientKpa: 99.5,
        oilTemperatureC: 80,
        batteryBeforeV: 12.5,
        batteryAfterV: 12,
        throttleOpen: true,
        allPlugsOut: true,
        odometerKm: 1000,
        hours: 2.5,
        ticked: ['fuel-off', 'battery-strong'],
      },
      rule: { code: 'max-spread', maxSpreadKpa: 100 },
      note: 'Cold morning',
      jobNumber: '17/4',
    },
  ],
  takes: [
    {
      id: 'k1',
      testId: 't1',
      cylinder: 1,
      condition: 'dry',
      hose: 'open',
      origin: 'measured',
      source: {
        kind: 'bluetooth',
        name: 'Transducer',
        manufacturer: 'M',
        model: 'X',
        serial: '7',
        firmware: '1',
        layout: 'packed stream',
        sensorMaxKpa: 2000,
        accuracy: {
          classPercent: 0.5,
          rangeKpa: 2000,
          check: {
            shownKpa: 1010,
            referenceKpa: 1000,
            referencePlusMinusKpa: 4,
            checkedOn: '2026-04-30',
          },
        },
        dial: { unit: 'psi', fullScale: 300, division: 5, classPercent: 2.5 },
      },
      startedAt: at,
      zeroKpa: 0.5,
      order: 3,
      state: 'finished',
      pageHidden: [{ startS: 0, endS: 0.01 }],
      typed: { strokesKpa: [700, 800], finalKpa: 810 },
      gaps: [{ startS: 0.01, endS: 0.02, reason: 'link-lost' }],
      samples: encodeSamples(block(0, [1, 2, 3])),
    },
  ],
  plugs: [
    {
      id: 'p1',
      engineId: 'e1',
      cylinder: 1,
      origin: 'measured',
      seenAt: at,
      signs: ['normal'],
      replaced: false,
      gapMm: 0.8,
      odometerKm: 1000,
      hours: 2.5,
      hasPhoto: true,
      photo: '/9j/4AA=',
    },
  ],
};

export type File = typeof FULL;
export type ListName = 'engines' | 'tests' | 'takes' | 'plugs';

/** Fingerprint of the file's first test; `null` where the browser has no digests. Throws on a refused or shortened file. */
export async function fingerprintOfFile(file: object, form?: EvidenceForm): Promise<string | null> {
  // Through text, as when read from a file.
  const outcome = checkSession(JSON.parse(JSON.stringify(file)));
  if (!outcome.ok) throw new Error(outcome.problem.detail);
  if (outcome.remarks) throw new Error(outcome.remarks.join(' '));
  const { tests, takes } = outcome.session;
  return fingerprintOf(tests[0]!, takes, form);
}

/** Sets `path` of the first entry of a list to `value`; `undefined` removes the field. */
export function altered(list: ListName, path: string, value: unknown): File {
  const file = structuredClone(FULL);
  const keys = path.split('.');
  const last = keys.pop()!;
  let place: object = file[list][0]!;
  for (const key of keys) place = Reflect.get(place, key) as object;
  if (value === undefined) Reflect.deleteProperty(place, last);
  else Reflect.set(place, last, value);
  return file;
}
