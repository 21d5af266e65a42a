/** The choices on the screen, as typed, and the column mapping they make. Pure. */
import type { Condition } from '../../../worker/core/trace.ts';
import { toKpa } from '../../../worker/core/units.ts';
import {
  type ColumnMapping,
  MAPPED_UNITS,
  type MappedPressure,
  type MappedUnit,
  type MappingProblem,
  mappingProblems,
  type TimeUnit,
} from '../../../worker/file/columns/column-mapping.ts';
import {
  type ColumnMeaning,
  type FilePreview,
  guessMeanings,
  guessSignal,
  guessTimeUnit,
  type Signal,
} from '../../../worker/file/columns/preview.ts';
import { columnFromHeader } from '../../../worker/file/csv/column-names.ts';
import { parseNumber } from '../../../worker/words/number.ts';

export interface ColumnDraft {
  readonly meaning: ColumnMeaning;
  readonly cylinder: string;
  readonly condition: Condition | '';
}

export const POINT_FIELDS = ['lowReading', 'lowPressure', 'highReading', 'highPressure'] as const;
export type PointField = (typeof POINT_FIELDS)[number];

export interface MappingDraft {
  readonly columns: readonly ColumnDraft[];
  readonly timeUnit: TimeUnit;
  readonly rate: string;
  /** What all pressure columns hold; '' until it is chosen. */
  readonly signal: 'pressure' | Signal | '';
  readonly unit: MappedUnit | '';
  readonly points: Readonly<Record<PointField, string>>;
  readonly reference: MappedPressure['reference'];
}

type Code =
  | Exclude<MappingProblem['code'], 'column-outside' | 'column-twice'>
  | 'bad-cylinder'
  | 'no-unit'
  | 'no-signal'
  | 'no-point';

/** Where a problem of the draft is shown. `column`: of a cylinder, from 1. */
export interface DraftProblem {
  readonly code: Code;
  readonly column?: number | undefined;
  readonly point?: PointField | undefined;
}

/** Usual ends of the signals; '' where each sensor has its own. */
const USUAL_POINTS: Readonly<Record<Signal, readonly [low: string, high: string]>> = {
  volts: ['0.5', '4.5'],
  milliamps: ['4', '20'],
  counts: ['', ''],
};

/** The draft with another signal, and the signal's usual readings. */
export function withSignal(draft: MappingDraft, signal: MappingDraft['signal']): MappingDraft {
  if (signal === '' || signal === 'pressure') return { ...draft, signal };
  const [lowReading, highReading] = USUAL_POINTS[signal];
  return { ...draft, signal, points: { ...draft.points, lowReading, highReading } };
}

/** The draft with another meaning of a column, from 1. Only one column is the time. */
export function withMeaning(draft: MappingDraft, column: number, meaning: ColumnMeaning): MappingDraft {
  const pressures = draft.columns.filter((one, i) => one.meaning === 'pressure' && i !== column - 1);
  return {
    ...draft,
    columns: draft.columns.map((one, i) => {
      if (i !== column - 1) {
        return meaning === 'time' && one.meaning === 'time' ? { ...one, meaning: 'other' } : one;
      }
      const next = meaning === 'pressure' && one.cylinder === '' && pressures.length > 0;
      return { ...one, meaning, cylinder: next ? String(pressures.length + 1) : one.cylinder };
    }),
  };
}

/** The most likely choices for a file. */
export function guessDraft({ columns }: FilePreview): MappingDraft {
  const meanings = guessMeanings(columns);
  const time = columns[meanings.indexOf('time')];
  const pressures = columns.filter((_, i) => meanings[i] === 'pressure');
  const named = pressures.map(({ name }) => columnFromHeader(name));
  const perUnit = named.map((one) => (one.kind === 'pressure' ? one.perUnit : undefined));
  const unit = perUnit.every((one) => one === perUnit[0])
    ? MAPPED_UNITS.find((one) => toKpa(1, one) === perUnit[0])
    : undefined;
  const signal = unit ? 'pressure' : pressures[0] && guessSignal(pressures[0]);
  const draft: MappingDraft = {
    columns: columns.map(({ column }, i) => {
      const order = pressures.findIndex((one) => one.column === column);
      const own = order < 0 ? undefined : named[order];
      const hints = own?.kind === 'pressure' ? own.hints : {};
      const cylinder = hints.cylinder ?? (pressures.length > 1 && order >= 0 ? order + 1 : '');
      return {
        meaning: meanings[i] ?? 'other',
        cylinder: String(cylinder),
        condition: hints.condition ?? '',
      };
    }),
    timeUnit: time ? guessTimeUnit(time) : 's',
    rate: '',
    signal: '',
    unit: unit ?? '',
    points: { lowReading: '', lowPressure: '0', highReading: '', highPressure: '' },
    reference: 'gauge',
  };
  return withSignal(draft, signal ?? '');
}

/** The choices of a mapping that was made before. */
export function draftOf(mapping: ColumnMapping): MappingDraft {
  const { time, pressures, shape } = mapping;
  const [first] = pressures;
  const points = first?.points;
  const text = (value: number | undefined) => (value === undefined ? '' : String(value));
  return {
    columns: Array.from({ length: shape.columns }, (_, i) => {
      const pressure = pressures.find(({ column }) => column === i + 1);
      const isTime = 'column' in time && time.column === i + 1;
      return {
        meaning: pressure ? 'pressure' : isTime ? 'time' : 'other',
        cylinder: text(pressure?.cylinder),
        condition: pressure?.condition ?? '',
      };
    }),
    timeUnit: 'column' in time ? time.unit : 's',
    rate: 'rateHz' in time ? text(time.rateHz) : '',
    signal: points ? signalOf(points[1].reading) : 'pressure',
    unit: first?.unit ?? '',
    points: {
      lowReading: text(points?.[0].reading),
      lowPressure: text(points?.[0].pressure ?? 0),
      highReading: text(points?.[1].reading),
      highPressure: text(points?.[1].pressure),
    },
    reference: first?.reference ?? 'gauge',
  };
}

/** A mapping does not name the signal, which only labels the fields. */
const signalOf = (highest: number): Signal =>
  highest <= 10 ? 'volts' : highest <= 24 ? 'milliamps' : 'counts';

/** The mapping for files of this shape, or what it lacks. */
export function mappingFrom(
  draft: MappingDraft,
  shape: ColumnMapping['shape'],
): { readonly mapping: ColumnMapping } | { readonly problems: readonly DraftProblem[] } {
  const problems: DraftProblem[] = [];
  const number = (text: string): number => parseNumber(text) ?? Number.NaN;
  const chosen = draft.columns.flatMap((one, i) =>
    one.meaning === 'pressure' ? [{ ...one, column: i + 1 }] : [],
  );
  for (const { cylinder, column } of chosen) {
    const n = parseNumber(cylinder);
    const isNumber = typeof n === 'number' && Number.isInteger(n) && n >= 1 && n <= 99;
    if (n !== null && !isNumber) problems.push({ code: 'bad-cylinder', column });
  }
  if (draft.signal === '') problems.push({ code: 'no-signal' });
  if (draft.unit === '') problems.push({ code: 'no-unit' });
  const isSensor = draft.signal !== '' && draft.signal !== 'pressure';
  if (isSensor) {
    for (const point of POINT_FIELDS) {
      if (Number.isNaN(number(draft.points[point]))) problems.push({ code: 'no-point', point });
    }
  }
  const point = (end: 'low' | 'high') => ({
    reading: number(draft.points[`${end}Reading`]),
    pressure: number(draft.points[`${end}Pressure`]),
  });
  const time = draft.columns.findIndex(({ meaning }) => meaning === 'time');
  const mapping: ColumnMapping = {
    format: 'strokebook-columns',
    version: 1,
    shape,
    time: time >= 0 ? { column: time + 1, unit: draft.timeUnit } : { rateHz: number(draft.rate) },
    pressures: chosen.map(({ column, cylinder, condition }) => ({
      column,
      cylinder: parseNumber(cylinder) ?? undefined,
      condition: condition === '' ? undefined : condition,
      unit: draft.unit === '' ? 'kPa' : draft.unit,
      points: isSensor ? [point('low'), point('high')] : undefined,
      reference: draft.reference,
    })),
  };
  for (const { code, column } of mappingProblems(mapping)) {
    // The columns of the screen exist, and each has one meaning.
    if (code !== 'column-outside' && code !== 'column-twice') problems.push({ code, column });
  }
  return problems.length > 0 ? { problems } : { mapping };
}
