import type { SourceInfo } from '../sources/port.ts';
import type { Reader } from './reader.ts';

/** What a sensor calls itself, or a recording its file; the simulator has no name of its own. */
export const sourceName = ({ kind, name }: Pick<SourceInfo, 'kind' | 'name'>, { t }: Reader): string =>
  kind === 'simulated' ? t.crank.sourceSimulator : name;

/** How the source sends; a layout of the person's own by the name that it has. */
export const layoutOf = ({ layout }: Pick<SourceInfo, 'layout'>, { t }: Reader): string | undefined => {
  const known: Readonly<Record<string, string>> = t.sensor.layouts;
  return layout === undefined ? undefined : (known[layout] ?? layout);
};
