/** The column mappings of this device, in the settings. Pure. */
import {
  type ColumnMapping,
  type FileShape,
  isSameShape,
} from '../../../worker/file/columns/column-mapping.ts';
import { checkMapping } from '../../../worker/file/columns/mapping-file.ts';

/** More shapes of files than a workshop has loggers. */
const MOST = 50;

/** Those that can be used: one written by another version of the app may not. */
export const usableMappings = (saved: readonly unknown[]): ColumnMapping[] =>
  saved.flatMap((one) => {
    const outcome = checkMapping(one);
    return outcome.ok ? [outcome.mapping] : [];
  });

export const withoutShape = (saved: readonly ColumnMapping[], shape: FileShape): ColumnMapping[] =>
  usableMappings(saved).filter((one) => !isSameShape(one.shape, shape));

/** With this one in place of an earlier one for the same shape. */
export const withMapping = (saved: readonly ColumnMapping[], mapping: ColumnMapping): ColumnMapping[] =>
  [mapping, ...withoutShape(saved, mapping.shape)].slice(0, MOST);
