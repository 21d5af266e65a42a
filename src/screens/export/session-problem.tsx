import type { FileProblem } from '../../../worker/file/csv/trace-file.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useReader } from '../../components/model.ts';

/** Why a session file could not be read, and what to do. */
export function SessionProblem({ fileName, problem }: { fileName: string; problem: FileProblem }) {
  const { t, say } = useReader();
  const words: Readonly<Partial<Record<FileProblem['code'], string>>> = t.files.sessionFile;
  const sentence = words[problem.code] ?? t.files.sessionFile['not-ours'];
  return (
    <div class="remark" role="alert">
      <VerdictShape verdict="fault" />
      <p>
        <span class="strong">{fileName}.</span> {say(sentence, { detail: problem.detail })}
      </p>
    </div>
  );
}
