import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import type { ImportEnd } from '../recordings/use-imports.ts';
import { SessionProblem } from './session-problem.tsx';

/** Maximum number of remarks shown per file. */
const MOST_REMARKS = 5;

/** Result of the import of one file. */
export function ImportRemark({ fileName, end }: ImportEnd) {
  const { t, say } = useReader();
  if (end.state === 'unread') return <SessionProblem fileName={fileName} problem={end.problem} />;
  if (end.state !== 'brought') {
    const words = end.state === 'cancelled' ? t.files.cancelled : t.files.refused;
    return (
      <p>
        <span class="strong">{fileName}.</span> {words}{' '}
        {end.added > 0 && say(t.files.partly, { added: end.added })}
      </p>
    );
  }
  const { imported } = end;
  return (
    <div class="remark">
      <VerdictShape verdict="sound" />
      <p>
        {say(imported.added === 0 ? t.files.broughtNothing : t.files.brought, {
          name: fileName,
          ...imported,
        })}
        {end.remarks?.slice(0, MOST_REMARKS).map((remark) => (
          <span class="quiet" key={remark}>
            {' '}
            {remark}
          </span>
        ))}
      </p>
    </div>
  );
}
