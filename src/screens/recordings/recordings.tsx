import { useState } from 'preact/hooks';
import type { FileProblem, RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { isTooLong, textOf } from '../../platform/files.ts';

interface UnreadFile {
  readonly fileName: string;
  readonly problem: FileProblem;
}

export interface Recordings {
  readonly traces: readonly RecordedTrace[];
  readonly unread: readonly UnreadFile[];
  readonly remarks: readonly string[];
  /** Opens the file dialog and reads the chosen files. Nothing changes when none is chosen. */
  choose(): Promise<void>;
}

const TOO_LARGE = {
  ok: false,
  problem: { code: 'too-large', detail: 'The file is longer than any recording that this app reads.' },
} as const;
const NOTHING = { traces: [], unread: [], remarks: [] };

/** State of the recordings chosen from files. */
export function useRecordings(): Recordings {
  const model = useModel();
  const [state, setState] = useState<Omit<Recordings, 'choose'>>(NOTHING);
  const choose = async () => {
    const files = await model.pickFiles('.csv,.txt,.tsv,text/csv,text/plain');
    if (files.length === 0) return;
    const outcomes = await Promise.all(
      files.map(async (file) => ({
        file,
        outcome: isTooLong(file) ? TOO_LARGE : await model.parseCsv(await textOf(file), file.name),
      })),
    );
    setState({
      traces: outcomes.flatMap(({ outcome }) => (outcome.ok ? outcome.traces : [])),
      unread: outcomes.flatMap(({ file, outcome }) =>
        outcome.ok ? [] : [{ fileName: file.name, problem: outcome.problem }],
      ),
      remarks: outcomes.flatMap(({ outcome }) => (outcome.ok ? outcome.remarks : [])),
    });
  };
  return { ...state, choose };
}

/** Files that could not be read, and remarks on the others. */
export function RecordingProblems({ recordings }: { recordings: Recordings }) {
  const { t, say } = useReader();
  return (
    <>
      {recordings.unread.map(({ fileName, problem }) => (
        <div key={fileName} class="remark" role="alert">
          <VerdictShape verdict="fault" />
          <p>
            <span class="strong">{fileName}.</span>{' '}
            {/\.json$/i.test(fileName) ? t.open.isSession : say(t.file[problem.code], { line: problem.line })}
          </p>
        </div>
      ))}
      {recordings.remarks.length > 0 && (
        <div>
          <h3>{t.crank.remarksTitle}</h3>
          <ul>
            {recordings.remarks.map((remark) => (
              <li key={remark} class="quiet">
                {remark}
              </li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}
