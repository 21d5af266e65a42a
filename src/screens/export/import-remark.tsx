import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';
import type { Reader } from '../../components/reader.ts';
import type { Imported } from '../../store/session-import.ts';
import type { ImportEnd } from '../recordings/use-imports.ts';
import { SessionProblem } from './session-problem.tsx';

/** Maximum number of remarks shown per file. */
const MOST_REMARKS = 5;

/** Result of the import of one file. */
export function ImportRemark({ fileName, end }: ImportEnd) {
  const reader = useReader();
  const { t, say, list } = reader;
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
        {imported.added === 0
          ? say(t.files.broughtNothing, { name: fileName })
          : say(t.files.brought, {
              name: fileName,
              list: list(countWords(imported, reader)),
              here: imported.alreadyThere > 0 ? imported.alreadyThere : undefined,
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

/** Engines and tests; the takes and plugs below them are not counted, unless nothing else was added. */
function countWords({ engines, tests, added }: Imported, { t, say }: Reader): string[] {
  const counts = [
    ...(engines > 0 ? [say(t.files.broughtEngines, { n: engines })] : []),
    ...(tests > 0 ? [say(t.files.broughtTests, { n: tests })] : []),
  ];
  return counts.length > 0 ? counts : [say(t.files.broughtOthers, { n: added })];
}
