/** Notices in plain words, rendered from their code and figures. */

import type { Verdict } from '../../worker/core/judgement.ts';
import type { Notice, Severity } from '../../worker/core/reading.ts';
import { VerdictShape } from './marks.tsx';
import { useReader } from './model.ts';
import { noticeWords } from './notice-words.ts';

/** A notice borrows the shape of the verdict that it calls for. */
const SHAPE: Readonly<Record<Severity, Verdict>> = { note: 'sound', warning: 'watch', stop: 'fault' };

export function Remarks({ notices, of }: { notices: readonly Notice[]; of?: string }) {
  const reader = useReader();
  return (
    <ul class="remark-list">
      {notices.map((notice) => (
        <li class="remark" key={notice.code}>
          <NoticeShape severity={notice.severity} />
          <p>
            <span class="strong">
              {of ? `${of}. ` : ''}
              {reader.t.severity[notice.severity]}.
            </span>{' '}
            {noticeWords(reader, notice)}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** A note is a plain dot: it asks for nothing. */
export function NoticeShape({ severity }: { severity: Severity }) {
  if (severity !== 'note') return <VerdictShape verdict={SHAPE[severity]} />;
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" class="mark-cannot-tell">
      <circle cx="12" cy="12" r="4" fill="currentColor" />
    </svg>
  );
}
