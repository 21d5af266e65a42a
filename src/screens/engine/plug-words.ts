/** Texts about plugs. Pure apart from the current date. */
import type { PlugSign } from '../../../worker/core/plugs.ts';
import type { PlugRecord } from '../../../worker/file/records.ts';
import type { Reader } from '../../components/reader.ts';
import type { PlugState } from './plug-due.ts';

/** One inspection: `Oily and gap wide, new one in, gap 0.80 mm`. */
export function lookWords(plug: PlugRecord, { t, say, list, locale }: Reader): string {
  const signs = plug.signs.map((sign, i) =>
    i === 0 ? t.plugs.sign[sign] : t.plugs.sign[sign].toLocaleLowerCase(locale),
  );
  const parts = [
    signs.length > 0 ? list(signs) : plug.replaced ? '' : t.plugs.notTold,
    plug.replaced ? t.plugs.newOne : '',
    plug.gapMm === undefined ? '' : say(t.plugs.gapLine, { gap: plug.gapMm }),
  ].filter((part) => part !== '');
  const line = parts.join(', ');
  return line.charAt(0).toLocaleUpperCase(locale) + line.slice(1);
}

/** Sentences on the last change and when the next is due. */
export function dueWords({ changed, km, hours }: PlugState, { t, say, since }: Reader): string[] {
  if (!changed) return [t.plugs.neverChanged];
  const sentences = [
    say(t.plugs.changed, {
      since: since(changed.seenAt),
      sinceKm: km?.since,
      sinceHours: hours?.since,
    }),
  ];
  if (km?.left != null) {
    const sentence = km.left > 0 ? t.plugs.dueInKm : t.plugs.overdueKm;
    sentences.push(say(sentence, { km: Math.abs(km.left), atKm: km.at }));
  }
  if (hours?.left != null) {
    const sentence = hours.left > 0 ? t.plugs.dueInHours : t.plugs.overdueHours;
    sentences.push(say(sentence, { hours: Math.abs(hours.left), atHours: hours.at }));
  }
  return sentences;
}

/** Selects or clears a sign. `normal` and the faults exclude each other. */
export function toggleSign(signs: readonly PlugSign[], sign: PlugSign): PlugSign[] {
  if (signs.includes(sign)) return signs.filter((one) => one !== sign);
  return sign === 'normal' ? ['normal'] : [...signs.filter((one) => one !== 'normal'), sign];
}
