import type { SourceInfo } from '../../worker/file/records.ts';
import type { Reader } from './reader.ts';

/** Name of a source: as the sensor reports it, or the name of the recording's file. */
export const sourceName = ({ kind, name }: Pick<SourceInfo, 'kind' | 'name'>, { t }: Reader): string =>
  kind === 'simulated' ? t.crank.sourceSimulator : name;

/**
 * Name of the layout in which the source sends; a custom layout keeps its own name. `undefined` when the source has
 * none.
 */
export const layoutOf = ({ layout }: Pick<SourceInfo, 'layout'>, { t }: Reader): string | undefined => {
  const known: Readonly<Record<string, string>> = t.sensor.layouts;
  return layout === undefined ? undefined : (known[layout] ?? layout);
};
