/** Names and values of the fields of a card, for the choice between two cards. Pure. */

import type { EngineRecord } from '../../../worker/file/records.ts';
import type { Reader } from '../../components/reader.ts';
import type { CardKey } from './merge-form.ts';

/** Name of a field. */
export function fieldName(key: CardKey, { t }: Reader): string {
  const names: Readonly<Record<CardKey, string>> = {
    name: t.setup.name,
    layout: t.setup.layout,
    cycle: t.setup.cycle,
    faceSpreadKpa: t.setup.faceSpread,
    ratioFrom: t.setup.ratioFrom,
    decompressor: t.setup.decompressor,
    fuel: t.setup.fuel,
    minKpa: t.card.manualMin,
    maxKpa: t.card.manualMax,
    spreadKpa: t.card.manualSpread,
    compressionRatio: t.setup.ratio,
    boreMm: t.card.bore,
    strokeMm: t.card.stroke,
    rodMm: t.card.rod,
    intakeClosesDegAbdc: t.card.intakeCloses,
    odometerKm: t.card.odometer,
    hours: t.card.hours,
    plugKm: t.card.plugKm,
    plugHours: t.card.plugHours,
    make: t.card.make,
    model: t.card.model,
    registration: t.card.registration,
    engineCode: t.card.engineCode,
    customer: t.card.customer,
  };
  return names[key];
}

/** Value of a field with its unit. */
export function fieldValue(key: CardKey, engine: EngineRecord, reader: Reader): string {
  const { t, number, pressure, quantity } = reader;
  const { facts, odometerKm, hours, plugInterval } = engine;
  const { manual, geometry, layout } = facts;
  switch (key) {
    case 'name':
      return engine.name;
    case 'layout':
      return `${t.layoutKind[layout.kind]}: ${layout.rows.map((row) => row.join(' ')).join(' / ')}`;
    case 'cycle':
      return t.cycle[facts.cycle];
    case 'fuel':
      return facts.fuel === 'diesel' ? t.setup.fuelDiesel : t.setup.fuelSpark;
    case 'minKpa':
    case 'maxKpa':
    case 'spreadKpa':
    case 'faceSpreadKpa':
      return pressure(manual[key]);
    case 'compressionRatio':
      return `${number(geometry.compressionRatio, 1)} : 1`;
    case 'ratioFrom':
      return t.setup.ratioFromKind[geometry.ratioFrom ?? 'unknown'];
    case 'decompressor':
      return t.setup.decompressorKind[facts.decompressor ?? 'unknown'];
    case 'boreMm':
    case 'strokeMm':
    case 'rodMm':
      return quantity(geometry[key], 'length');
    case 'intakeClosesDegAbdc':
      return `${number(geometry.intakeClosesDegAbdc)}°`;
    case 'odometerKm':
      return quantity(odometerKm, 'distance');
    case 'hours':
      return `${number(hours)}\u00a0h`;
    case 'plugKm':
      return quantity(plugInterval?.km, 'distance');
    case 'plugHours':
      return `${number(plugInterval?.hours)}\u00a0h`;
    case 'make':
    case 'model':
    case 'registration':
    case 'engineCode':
    case 'customer':
      return engine.identity?.[key] ?? '';
  }
}
