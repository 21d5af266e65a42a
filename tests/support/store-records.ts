/** Records as in the store, all of one fixed day; a test passes the fields it is about as `more`. */

import type { EngineFacts } from '../../worker/core/engine.ts';
import { presetLayout } from '../../worker/core/layouts.ts';
import type { Gap, SampleBlock } from '../../worker/core/trace.ts';
import type { EngineRecord, Photo, PlugRecord, TakeRecord, TestRecord } from '../../worker/file/records.ts';

/** An inline four without figures from its manual. */
export const FACTS: EngineFacts = {
  cycle: 4,
  fuel: 'spark',
  layout: presetLayout('inline', 4),
  manual: {},
  geometry: {},
};

export const engineRecord = (id: string, more: Partial<EngineRecord> = {}): EngineRecord => ({
  id,
  name: `Engine ${id}`,
  facts: { ...FACTS, manual: { minKpa: 900 } },
  origin: 'measured',
  createdAt: '2026-05-02T10:00:00.000Z',
  ...more,
});

export const testRecord = (id: string, engineId: string, more: Partial<TestRecord> = {}): TestRecord => ({
  id,
  engineId,
  origin: 'measured',
  startedAt: '2026-05-02T10:05:00.000Z',
  conditions: { ambientKpa: 99, ticked: ['fuel-off'] },
  rule: { code: 'percent-of-highest' },
  note: '',
  ...more,
});

export const takeRecord = (id: string, testId: string, more: Partial<TakeRecord> = {}): TakeRecord => ({
  id,
  testId,
  cylinder: 1,
  condition: 'dry',
  origin: 'measured',
  source: { kind: 'bluetooth', name: 'Transducer' },
  startedAt: '2026-05-02T10:06:00.000Z',
  state: 'open',
  ...more,
});

/** 100 samples a second from `startS` on; pressures in gauge kPa. */
export const block = (startS: number, values: readonly number[]): SampleBlock => ({
  timeS: Float64Array.from(values, (_, i) => startS + i / 100),
  pressureKpa: Float64Array.from(values),
});

/** A gap by a lost link, seconds. */
export const gap = (startS: number, endS: number): Gap => ({ startS, endS, reason: 'link-lost' });

export const plugRecord = (id: string, engineId: string, more: Partial<PlugRecord> = {}): PlugRecord => ({
  id,
  engineId,
  cylinder: 1,
  origin: 'measured',
  seenAt: '2026-05-02T10:20:00.000Z',
  signs: ['normal'],
  replaced: false,
  hasPhoto: false,
  ...more,
});

export const photo = (...bytes: number[]): Photo => ({ type: 'image/jpeg', bytes: Uint8Array.from(bytes) });
