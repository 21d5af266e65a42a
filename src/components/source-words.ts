import type { SourceInfo, SourceKind } from '../../worker/file/records.ts';
import { unitSymbol } from '../../worker/words/pressure.ts';
import { CAMERA_NAME } from '../sources/camera/dial-camera.ts';
import type { Reader } from './reader.ts';

/** Name of a source: as the sensor reports it, the name of the recording's file, or the dial that the camera reads. */
export function sourceName(
  { kind, name, dial }: Pick<SourceInfo, 'kind' | 'name' | 'dial'>,
  reader: Reader,
): string {
  const { t, say } = reader;
  if (kind === 'simulated') return t.crank.sourceSimulator;
  if (kind !== 'camera' || dial === undefined) return name;
  return say(t.camera.source, {
    fullScale: asPrinted(dial.fullScale, reader),
    division: asPrinted(dial.division, reader),
    unit: unitSymbol(dial.unit),
    classPercent: dial.classPercent === undefined ? null : asPrinted(dial.classPercent, reader),
    film: name === CAMERA_NAME ? null : name,
  });
}

/** A figure with the decimal places that it has, as on the face of a dial. */
export const asPrinted = (value: number, { number }: Reader): string =>
  number(value, String(value).split('.')[1]?.length ?? 0);

/** Label of a source that measures no engine now; `null` for one that does. */
export const stampOf = (kind: SourceKind, { t }: Reader): string | null =>
  kind === 'simulated' ? t.origin.simulated : kind === 'replay' ? t.origin.recording : null;

/**
 * Name of the layout in which the source sends; a custom layout keeps its own name. `undefined` when the source has
 * none.
 */
export const layoutOf = ({ layout }: Pick<SourceInfo, 'layout'>, { t }: Reader): string | undefined => {
  const known: Readonly<Record<string, string>> = t.sensor.layouts;
  return layout === undefined ? undefined : (known[layout] ?? layout);
};
