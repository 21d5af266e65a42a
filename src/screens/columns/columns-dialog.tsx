import { useEffect, useId, useMemo, useRef, useState } from 'preact/hooks';
import { type ColumnMapping, isSameShape } from '../../../worker/file/columns/column-mapping.ts';
import { type FilePreview, previewFile } from '../../../worker/file/columns/preview.ts';
import type { Delimiter } from '../../../worker/file/csv/header-row.ts';
import { Button } from '../../components/button.tsx';
import { Field } from '../../components/field.tsx';
import { VerdictShape } from '../../components/marks.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { ColumnItem } from './column-item.tsx';
import { draftOf, guessDraft, type MappingDraft, mappingFrom } from './draft.ts';
import { FirstLines } from './first-lines.tsx';
import { MappingFile } from './mapping-file.tsx';
import { usableMappings, withMapping, withoutShape } from './saved-mappings.ts';
import { ScaleFields } from './scale-fields.tsx';
import { useScaled } from './use-scaled.ts';

export interface ColumnsDialogProps {
  fileName: string;
  text: string;
  /** The mappings in the settings have changed. */
  onChanged: () => void;
  onClose: () => void;
}

/** Asks which column of a logger's file is what, and keeps the answer for files of the same shape. */
export function ColumnsDialog(props: ColumnsDialogProps) {
  const { fileName, text } = props;
  const { t, say } = useReader();
  const w = t.columns;
  const ref = useRef<HTMLDialogElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const headingId = useId();
  const [separator, setSeparator] = useState<Delimiter>();
  const preview = useMemo(() => previewFile(text, separator), [text, separator]);
  useEffect(() => {
    const dialog = ref.current;
    dialog?.showModal();
    heading.current?.focus();
    return () => dialog?.close();
  }, []);
  /** Closed before it is removed, so that focus goes back to the button that opened it. */
  const onClose = () => {
    ref.current?.close();
    props.onClose();
  };
  return (
    <dialog
      ref={ref}
      class="columns"
      aria-labelledby={headingId}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <div class="page">
        <header class="page-head stack-tight">
          <h1 ref={heading} id={headingId} tabIndex={-1}>
            {w.title}
          </h1>
          <p class="quiet">{say(w.lead, { name: fileName })}</p>
        </header>
        {'problem' in preview ? (
          <>
            <p class="problem">{t.file[preview.problem.code]}</p>
            <div class="action">
              <Button onClick={onClose}>{t.app.cancel}</Button>
            </div>
          </>
        ) : (
          <ColumnsForm
            key={preview.shape.separator}
            {...props}
            onClose={onClose}
            preview={preview}
            onSeparator={setSeparator}
          />
        )}
      </div>
    </dialog>
  );
}

/** Characters of a file that are drawn and analysed while choosing. */
const PART = 1_000_000;

function firstPart(text: string): string {
  return text.length <= PART ? text : text.slice(0, text.lastIndexOf('\n', PART) + 1);
}

interface ColumnsFormProps extends ColumnsDialogProps {
  preview: FilePreview;
  onSeparator: (separator: Delimiter) => void;
}

function ColumnsForm({ fileName, text, preview, onSeparator, onChanged, onClose }: ColumnsFormProps) {
  const { settings } = useModel();
  const { t, say } = useReader();
  const w = t.columns;
  const { shape, columns } = preview;
  const saved = useMemo(
    () => usableMappings(settings.values.peek().columns).find((one) => isSameShape(one.shape, shape)),
    [settings, shape],
  );
  const [draft, setDraft] = useState<MappingDraft>(() => (saved ? draftOf(saved) : guessDraft(preview)));
  const [wantsToGo, setWantsToGo] = useState(false);
  const made = mappingFrom(draft, shape);
  const mapping = 'mapping' in made ? made.mapping : undefined;
  const part = useMemo(() => firstPart(text), [text]);
  const scaled = useScaled(part, fileName, mapping);
  const problems = wantsToGo && 'problems' in made ? made.problems : [];
  const needsRate = draft.columns.every(({ meaning }) => meaning !== 'time');

  const keep = (next: readonly ColumnMapping[]) => {
    settings.change({ columns: next });
    onClose();
    onChanged();
  };
  const use = () => {
    setWantsToGo(true);
    if (mapping) keep(withMapping(settings.values.peek().columns, mapping));
    else requestAnimationFrame(focusProblem);
  };

  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        use();
      }}
    >
      <FirstLines preview={preview} hasTabs={part.includes('\t')} onSeparator={onSeparator} />
      <Section title={w.columns} hint={w.columnsHint}>
        <ul class="index">
          {columns.map((one) => (
            <ColumnItem
              key={one.column}
              preview={one}
              draft={draft}
              scaled={scaled.columns.get(one.column)}
              problem={problems.find(({ column }) => column === one.column)}
              onChange={setDraft}
            />
          ))}
        </ul>
        {problems.some(({ code }) => code === 'no-pressure') && (
          <p class="problem" role="alert" tabIndex={-1}>
            {w.problem['no-pressure']}
          </p>
        )}
      </Section>
      {needsRate && (
        <Section title={w.sampleRate}>
          <Field
            label={w.rate}
            hint={w.rateHint}
            value={draft.rate}
            decimal
            wrong={problems.some(({ code }) => code === 'rate') ? w.problem.rate : undefined}
            onInput={(rate) => setDraft({ ...draft, rate })}
          />
        </Section>
      )}
      <ScaleFields draft={draft} problems={problems} onChange={setDraft} />
      {scaled.problem && (
        <p class="remark columns-problem" role="alert">
          <VerdictShape verdict="fault" />
          <span>
            {say(t.file[scaled.problem.code], { line: scaled.problem.line })}{' '}
            {scaled.problem.excerpt !== undefined && say(w.badLine, { excerpt: scaled.problem.excerpt })}
          </span>
        </p>
      )}
      <MappingFile
        fileName={fileName}
        shape={shape}
        mapping={mapping}
        onOpen={(opened) => setDraft(draftOf(opened))}
        onForget={saved && (() => keep(withoutShape(settings.values.peek().columns, shape)))}
      />
      <div class="action">
        <Button kind="main" type="submit">
          {w.use}
        </Button>
        <Button onClick={onClose}>{t.app.cancel}</Button>
      </div>
    </form>
  );
}

/** Moves to the first problem: a field, else the group of buttons with the message. */
function focusProblem(): void {
  const first = document.querySelector<HTMLElement>('.columns [aria-invalid], .columns [role="alert"]');
  const group = first?.matches('.wrongly') ? first.parentElement?.querySelector('input') : undefined;
  (group ?? first)?.focus();
}
