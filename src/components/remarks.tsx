/** Remarks on the measuring, each with its shape and word. */
import type { Severity } from '../../worker/core/notice.ts';
import { VerdictShape } from './marks.tsx';
import { useReader } from './model.ts';

export interface Remark {
  readonly severity: Severity;
  /** Which readings it is about. */
  readonly whose: string;
  readonly words: string;
}

export function Remarks({ remarks }: { remarks: readonly Remark[] }) {
  const { t } = useReader();
  return (
    <ul class="remark-list">
      {remarks.map(({ severity, whose, words }) => (
        <li class="remark" key={whose + words}>
          <NoticeShape severity={severity} />
          <p>
            <span class="strong">
              {whose}. {t.severity[severity]}.
            </span>{' '}
            {words}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** A warning and worse borrow the shape of the verdict they call for; a note is a plain dot and asks for nothing. */
export function NoticeShape({ severity }: { severity: Severity }) {
  if (severity !== 'note') return <VerdictShape verdict={severity === 'stop' ? 'fault' : 'watch'} />;
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" class="mark-cannot-tell">
      <circle cx="12" cy="12" r="4" fill="currentColor" />
    </svg>
  );
}
