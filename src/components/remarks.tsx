/** List of remarks on the measurement, each with its shape and severity. */
import type { Severity } from '../../worker/core/notice.ts';
import { VerdictShape } from './marks.tsx';
import { useReader } from './model.ts';

export interface Remark {
  readonly severity: Severity;
  /** The readings that the remark is about. */
  readonly whose: string;
  readonly words: string;
}

/** The list of remarks. */
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

/** Shape of a severity: that of a verdict for warnings and above, a dot for a note. */
export function NoticeShape({ severity }: { severity: Severity }) {
  if (severity !== 'note') return <VerdictShape verdict={severity === 'stop' ? 'fault' : 'watch'} />;
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true" class="mark-cannot-tell">
      <circle cx="12" cy="12" r="4" fill="currentColor" />
    </svg>
  );
}
