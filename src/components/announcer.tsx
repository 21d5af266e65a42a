import { useRef } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import type { Announcement } from '../capture/announcement.ts';
import { useModel, useReader } from './model.ts';
import type { Reader } from './reader.ts';

/** Live region that announces the state of the capture to screen readers. */
export function Announcer() {
  const said = useModel().capture.announcement.value;
  const reader = useReader();
  const { url } = useLocation();
  // An announcement is cleared on leaving its page and not repeated on return.
  const last = useRef<{ said: Announcement | null; url: string; isLeft: boolean }>({
    said,
    url,
    isLeft: false,
  });
  if (last.current.said !== said) last.current = { said, url, isLeft: false };
  if (last.current.url !== url) last.current.isLeft = true;
  return (
    <p class="visually-hidden" role="alert" aria-live="assertive">
      {said && !last.current.isLeft ? announcementWords(said, reader) : ''}
    </p>
  );
}

/** The sentence for an announcement, in the reader's language and unit. */
export function announcementWords(said: Announcement, reader: Reader): string {
  const { t, say } = reader;
  switch (said.kind) {
    case 'waiting':
    case 'cranking':
      return say(t.announcement[said.kind], {
        cylinder: said.item.cylinder,
        condition: t.conditionLong[said.item.condition],
      });
    case 'settled':
      return say(t.announcement.settled, { pressureKpa: said.pressureKpa });
    case 'not-read':
      return say(t.announcement['not-read'], {
        cylinder: said.item.cylinder,
        next: said.next?.cylinder ?? null,
      });
    case 'too-short':
      return say(t.announcement['too-short'], {
        cylinder: said.item.cylinder,
        strokes: said.reading.strokes.length,
      });
    case 'stored':
    case 'done':
      return say(t.announcement[said.kind], {
        cylinder: said.item.cylinder,
        final: reader.pressure(said.reading.finalKpa, said.reading.finalPlusMinusKpa),
        next: said.kind === 'stored' ? said.next.cylinder : null,
      });
    default:
      return t.announcement[said.kind];
  }
}
