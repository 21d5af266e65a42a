/** A column mapping: what each column of a logger's file holds. The file format is in `worker/file/README.md`. */
import type { Condition } from '../../core/trace.ts';
import { toKpa } from '../../core/units.ts';
import type { Delimiter } from '../csv/header-row.ts';
import { LIMITS } from '../limits.ts';

/** Format name and version in a mapping file. */
export const MAPPING_FORMAT = 'strokebook-columns';
export const MAPPING_VERSION = 1;

export const MAPPED_UNITS = ['psi', 'kPa', 'bar', 'kgf/cm2', 'MPa'] as const;
export type MappedUnit = (typeof MAPPED_UNITS)[number];

export const TIME_UNITS = ['s', 'ms', 'us', 'date-time'] as const;
export type TimeUnit = (typeof TIME_UNITS)[number];

/** Files of one shape share a mapping. */
export interface FileShape {
  readonly separator: Delimiter;
  readonly columns: number;
  /** Names of all columns, without their units if those are on a line of their own; missing without a header row. */
  readonly names?: readonly string[] | undefined;
}

/** One point of a linear sensor: at `reading` (volts, milliamps, counts) the pressure is `pressure`. */
interface ScalePoint {
  readonly reading: number;
  readonly pressure: number;
}

export interface MappedPressure {
  /** From 1. */
  readonly column: number;
  /** From 1. Omitted for the only pressure of a file: its comment lines or its name state the cylinder. */
  readonly cylinder?: number | undefined;
  readonly condition?: Condition | undefined;
  /** Unit of the column, or of the pressures of `points`. */
  readonly unit: MappedUnit;
  /** For a column that is not a pressure itself. */
  readonly points?: readonly [ScalePoint, ScalePoint] | undefined;
  /** What the sensor measures against. The analysis finds the zero itself in either case. */
  readonly reference: 'gauge' | 'absolute';
}

export interface ColumnMapping {
  readonly format: typeof MAPPING_FORMAT;
  readonly version: typeof MAPPING_VERSION;
  readonly shape: FileShape;
  /** A column, from 1, or the samples a second of a file without one. */
  readonly time: { readonly column: number; readonly unit: TimeUnit } | { readonly rateHz: number };
  readonly pressures: readonly MappedPressure[];
}

export interface MappingProblem {
  readonly code: MappingProblemCode;
  /** The column concerned, from 1. */
  readonly column?: number | undefined;
  /** Path of the field in a mapping file, such as `pressures.0.column`. */
  readonly field: string;
  /** One plain English sentence with the finding and what to do. */
  readonly detail: string;
}

type MappingProblemCode =
  /** No pressure column; choose one. */
  | 'no-pressure'
  /** The file has fewer columns; choose one that exists. */
  | 'column-outside'
  /** A column is used twice; choose another for one of them. */
  | 'column-twice'
  /** One of several pressures has no cylinder; number it. */
  | 'no-cylinder'
  /** Two columns are the same cylinder in the same condition; change one. */
  | 'cylinder-twice'
  /** The sample rate is beyond any recording; state samples a second. */
  | 'rate'
  /** Both points have the same reading; a line needs two different ones. */
  | 'same-reading'
  /** Both points have the same pressure; a line needs two different ones. */
  | 'same-pressure'
  /** A point is beyond any sensor; check the unit. */
  | 'beyond-sensor';

/** What is absurd about a mapping; empty when it can be used. */
export function mappingProblems({ shape, time, pressures }: ColumnMapping): MappingProblem[] {
  const problems: MappingProblem[] = [];
  const add = (code: MappingProblemCode, field: string, detail: string, column?: number) =>
    problems.push({ code, field, detail, column });
  const used = new Set<number>();
  const take = (column: number, field: string) => {
    if (column > shape.columns) {
      const detail = `Column ${column} does not exist: the file has ${shape.columns}. Choose one of these.`;
      add('column-outside', field, detail, column);
    } else if (used.has(column)) {
      add('column-twice', field, `Column ${column} is used twice. Use each column once.`, column);
    }
    used.add(column);
  };

  if ('rateHz' in time) {
    const { low, high } = LIMITS.rateHz;
    if (!(time.rateHz >= low && time.rateHz <= high)) {
      const detail = `${time.rateHz} samples a second is no rate of a recording. Write a figure from ${low} to ${high}.`;
      add('rate', 'time.rateHz', detail);
    }
  } else {
    take(time.column, 'time.column');
  }
  if (pressures.length === 0)
    add('no-pressure', 'pressures', 'No column is a pressure. Choose at least one.');
  const cylinders = new Set<string>();
  for (const [i, { column, cylinder, condition, unit, points }] of pressures.entries()) {
    const field = `pressures.${i}`;
    take(column, `${field}.column`);
    const name = `${cylinder} ${condition ?? ''}`;
    if (cylinder === undefined) {
      const detail = `Column ${column} has no cylinder. Number each when a file has several.`;
      if (pressures.length > 1) add('no-cylinder', `${field}.cylinder`, detail, column);
    } else if (cylinders.has(name)) {
      const detail = `Cylinder ${cylinder} has two columns in the same condition. Change one of them.`;
      add('cylinder-twice', `${field}.cylinder`, detail, column);
    }
    cylinders.add(name);
    if (!points) continue;
    const [low, high] = points;
    if (low.reading === high.reading) {
      const detail = `Both points are at ${low.reading}. Two different readings make a scale.`;
      add('same-reading', `${field}.points`, detail, column);
    } else if (low.pressure === high.pressure) {
      const detail = `Both points are ${low.pressure} ${unit}. Two different pressures make a scale.`;
      add('same-pressure', `${field}.points`, detail, column);
    } else if (points.some((point) => Math.abs(toKpa(point.pressure, unit)) > LIMITS.sensorKpa)) {
      const detail = `A point is beyond any sensor for this job (${LIMITS.sensorKpa} kPa). Check its unit.`;
      add('beyond-sensor', `${field}.points`, detail, column);
    }
  }
  return problems;
}

/** Converts a figure of the column to kPa. */
export function kpaConverter({ unit, points }: MappedPressure): (raw: number) => number {
  if (!points) return (raw) => toKpa(raw, unit);
  const [a, b] = points;
  const perReading = (b.pressure - a.pressure) / (b.reading - a.reading);
  return (raw) => toKpa(a.pressure + (raw - a.reading) * perReading, unit);
}

/** Whether two files have the same shape. */
export function isSameShape(a: FileShape, b: FileShape): boolean {
  if (a.separator !== b.separator || a.columns !== b.columns) return false;
  if (!a.names || !b.names) return a.names === b.names;
  return a.names.length === b.names.length && a.names.every((name, i) => name === b.names?.[i]);
}
