/** Two cards of the same engine made one. Pure. */
import type { Decompressor, Layout, RatioFrom } from '../../../worker/core/engine.ts';
import type { EngineRecord } from '../../../worker/file/records.ts';

/** Figures of a card that may differ, by the name of their field. */
interface CardFields {
  readonly name: string;
  readonly layout: Layout;
  readonly cycle: 2 | 4;
  readonly fuel: EngineRecord['facts']['fuel'];
  readonly minKpa: number | undefined;
  readonly maxKpa: number | undefined;
  readonly spreadKpa: number | undefined;
  readonly faceSpreadKpa: number | undefined;
  readonly compressionRatio: number | undefined;
  readonly ratioFrom: RatioFrom | undefined;
  readonly decompressor: Decompressor | undefined;
  readonly boreMm: number | undefined;
  readonly strokeMm: number | undefined;
  readonly rodMm: number | undefined;
  readonly intakeClosesDegAbdc: number | undefined;
  readonly odometerKm: number | undefined;
  readonly hours: number | undefined;
  readonly plugKm: number | undefined;
  readonly plugHours: number | undefined;
  readonly make: string | undefined;
  readonly model: string | undefined;
  readonly registration: string | undefined;
  readonly engineCode: string | undefined;
  readonly customer: string | undefined;
}

export type CardKey = keyof CardFields;

function fieldsOf({ name, facts, odometerKm, hours, plugInterval, identity }: EngineRecord): CardFields {
  const { manual, geometry } = facts;
  return {
    name: name.trim(),
    layout: facts.layout,
    cycle: facts.cycle,
    fuel: facts.fuel,
    minKpa: manual.minKpa,
    maxKpa: manual.maxKpa,
    spreadKpa: manual.spreadKpa,
    faceSpreadKpa: manual.faceSpreadKpa,
    compressionRatio: geometry.compressionRatio,
    ratioFrom: geometry.ratioFrom,
    decompressor: facts.decompressor,
    boreMm: geometry.boreMm,
    strokeMm: geometry.strokeMm,
    rodMm: geometry.rodMm,
    intakeClosesDegAbdc: geometry.intakeClosesDegAbdc,
    odometerKm,
    hours,
    plugKm: plugInterval?.km,
    plugHours: plugInterval?.hours,
    make: identity?.make,
    model: identity?.model,
    registration: identity?.registration,
    engineCode: identity?.engineCode,
    customer: identity?.customer,
  };
}

/** A field on which two cards differ. */
export interface CardDifference {
  readonly key: CardKey;
  readonly kept: CardFields[CardKey];
  readonly other: CardFields[CardKey];
}

/** Fields that both cards have and that differ, in the order of the card. */
export function cardDifferences(kept: EngineRecord, other: EngineRecord): CardDifference[] {
  const [a, b] = [fieldsOf(kept), fieldsOf(other)];
  return (Object.keys(a) as CardKey[]).flatMap((key) => {
    const isKnown = a[key] !== undefined && b[key] !== undefined;
    const differs = JSON.stringify(a[key]) !== JSON.stringify(b[key]);
    return isKnown && differs ? [{ key, kept: a[key], other: b[key] }] : [];
  });
}

/** Which card each differing field is from; `kept` where none is named. */
export type Picks = Readonly<Partial<Record<CardKey, 'kept' | 'other'>>>;

/** The kept engine with the chosen fields. A field that only one card has is from that card. */
export function mergedCard(kept: EngineRecord, other: EngineRecord, picks: Picks): EngineRecord {
  const [a, b] = [fieldsOf(kept), fieldsOf(other)];
  const pick = <K extends CardKey>(key: K): CardFields[K] =>
    picks[key] === 'other' ? b[key] : (a[key] ?? b[key]);
  const plugInterval = defined({ km: pick('plugKm'), hours: pick('plugHours') });
  const running = defined({ odometerKm: pick('odometerKm'), hours: pick('hours') });
  const identity = defined({
    make: pick('make'),
    model: pick('model'),
    registration: pick('registration'),
    engineCode: pick('engineCode'),
    customer: pick('customer'),
  });
  return {
    id: kept.id,
    name: pick('name'),
    facts: {
      cycle: pick('cycle'),
      fuel: pick('fuel'),
      layout: pick('layout'),
      manual: defined({
        minKpa: pick('minKpa'),
        maxKpa: pick('maxKpa'),
        spreadKpa: pick('spreadKpa'),
        faceSpreadKpa: pick('faceSpreadKpa'),
      }),
      geometry: defined({
        compressionRatio: pick('compressionRatio'),
        ratioFrom: pick('ratioFrom'),
        boreMm: pick('boreMm'),
        strokeMm: pick('strokeMm'),
        rodMm: pick('rodMm'),
        intakeClosesDegAbdc: pick('intakeClosesDegAbdc'),
      }),
      ...defined({ decompressor: pick('decompressor') }),
    },
    // One that was measured on stays marked as such; its tests keep their own origin.
    origin: kept.origin === other.origin ? kept.origin : 'measured',
    createdAt: kept.createdAt,
    ...running,
    ...(Object.keys(plugInterval).length > 0 && { plugInterval }),
    ...(Object.keys(identity).length > 0 && { identity }),
  };
}

/** Leaves out missing figures, so that a card that gained nothing equals the one before. */
const defined = <T extends object>(figures: T): T =>
  Object.fromEntries(Object.entries(figures).filter(([, value]) => value !== undefined)) as T;
