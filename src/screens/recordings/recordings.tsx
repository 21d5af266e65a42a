import { useState } from 'preact/hooks';
import type { FileProblem, RecordedTrace, TraceFileOutcome } from '../../../worker/file/csv/trace-file.ts';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { isTooLong, textOf } from '../../platform/files.ts';
import { OfferColumns } from '../columns/offer-columns.tsx';

/** A chosen file with its text. */
export interface TextFile {
  readonly fileName: string;
  readonly text: string;
  /** How it was read. */
  readonly how: 'unread' | 'mapped' | 'by-itself';
}

interface UnreadFile {
  readonly fileName: string;
  readonly problem: FileProblem;
}

export interface Recordings {
  readonly traces: readonly RecordedTrace[];
  readonly unread: readonly UnreadFile[];
  readonly remarks: readonly string[];
  /** Files whose columns can be set by hand. */
  readonly texts: readonly TextFile[];
  /** When the oldest of the files was last changed; `null` when none was read. */
  readonly changedAt: Date | null;
  /** Reads these files in place of those before. */
  read(files: readonly File[]): Promise<void>;
  /** Reads the chosen files again, after the column mappings in the settings have changed. */
  readAgain(): Promise<void>;
  /** Opens the file dialog and reads the chosen files. Nothing changes when none is chosen. */
  choose(): Promise<void>;
}

const TOO_LARGE = {
  ok: false,
  problem: { code: 'too-large', detail: 'The file is longer than any recording that this app reads.' },
} as const;
/** Whether other columns can help. They cannot when the file is no text at all. */
const canBeSet = (outcome: TraceFileOutcome): boolean =>
  outcome.ok || !['empty', 'not-text', 'too-large'].includes(outcome.problem.code);

const NOTHING = { traces: [], unread: [], remarks: [], texts: [], changedAt: null };

/** File types of recordings, for the file dialog. */
export const RECORDING_ACCEPT = '.csv,.txt,.tsv,text/csv,text/plain';

/** State of the recordings chosen from files. */
export function useRecordings(): Recordings {
  const { pickFiles, parseCsv, settings } = useModel();
  const [chosen, setChosen] = useState<readonly File[]>([]);
  const [state, setState] = useState<Omit<Recordings, 'choose' | 'read' | 'readAgain'>>(NOTHING);
  const read = async (files: readonly File[]) => {
    setChosen(files);
    const saved = settings.values.peek().columns;
    const mappings =
      saved.length > 0 ? (await import('../columns/saved-mappings.ts')).usableMappings(saved) : [];
    const outcomes = await Promise.all(
      files.map(async (file) => {
        if (isTooLong(file)) return { file, text: '', outcome: TOO_LARGE };
        const text = await textOf(file);
        return { file, text, outcome: await parseCsv(text, file.name, mappings) };
      }),
    );
    setState({
      traces: outcomes.flatMap(({ outcome }) => (outcome.ok ? outcome.traces : [])),
      unread: outcomes.flatMap(({ file, outcome }) =>
        outcome.ok ? [] : [{ fileName: file.name, problem: outcome.problem }],
      ),
      remarks: outcomes.flatMap(({ outcome }) => (outcome.ok ? outcome.remarks : [])),
      texts: outcomes
        .filter(({ outcome }) => canBeSet(outcome))
        .map(({ file, text, outcome }) => ({
          fileName: file.name,
          text,
          how: !outcome.ok ? 'unread' : outcome.isMapped ? 'mapped' : 'by-itself',
        })),
      changedAt: oldest(outcomes.filter(({ outcome }) => outcome.ok).map(({ file }) => file)),
    });
  };
  const choose = async () => {
    const files = await pickFiles(RECORDING_ACCEPT);
    if (files.length > 0) await read(files);
  };
  return { ...state, read, readAgain: () => read(chosen), choose };
}

const oldest = (files: readonly File[]): Date | null =>
  files.length === 0 ? null : new Date(Math.min(...files.map((file) => file.lastModified)));

/** Files that could not be read, and remarks on the others. */
export function RecordingProblems({ recordings }: { recordings: Recordings }) {
  const { t, say } = useReader();
  const w = t.columns;
  return (
    <>
      {recordings.unread.map(({ fileName, problem }) => (
        <div key={fileName} class="remark" role="alert">
          <VerdictShape verdict="fault" />
          <p>
            <span class="strong">{fileName}.</span>{' '}
            {/\.json$/i.test(fileName) ? t.open.isSession : say(t.file[problem.code], { line: problem.line })}
            {problem.excerpt !== undefined && ` ${say(w.badLine, { excerpt: problem.excerpt })}`}
          </p>
        </div>
      ))}
      <OfferColumns files={recordings.texts} onChanged={() => void recordings.readAgain()} />
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
