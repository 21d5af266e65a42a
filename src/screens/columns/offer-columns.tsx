import './columns.css';
import type { ComponentType } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { Button } from '../../components/button.tsx';
import { useReader } from '../../components/model.ts';
import { useTrouble } from '../../components/trouble.ts';
import type { TextFile } from '../recordings/recordings.tsx';
import type { ColumnsDialogProps } from './columns-dialog.tsx';

/** The dialog and the file that it is about. */
interface OpenDialog {
  readonly file: TextFile;
  readonly Dialog: ComponentType<ColumnsDialogProps>;
}

/** Offers to set the columns: of files that could not be read, and of those whose reading looks wrong. */
export function OfferColumns({ files, onChanged }: { files: readonly TextFile[]; onChanged: () => void }) {
  const { t, say } = useReader();
  const w = t.columns;
  const trouble = useTrouble();
  const ref = useRef<HTMLFieldSetElement>(null);
  const [open, setOpen] = useState<OpenDialog | null>(null);
  const start = async (file: TextFile) => {
    const loaded = await trouble.attempt(import('./columns-dialog.tsx'), 'columns');
    if (loaded) setOpen({ file, Dialog: loaded.ColumnsDialog });
  };
  // One file stands for the others: what is set applies to all of the same shape.
  const unread = files.find(({ how }) => how === 'unread');
  const mapped = files.find(({ how }) => how === 'mapped');
  const read = mapped ?? files.find(({ how }) => how === 'by-itself');
  if (!unread && !read) return null;
  return (
    <fieldset ref={ref} class="row columns-offer" aria-label={w.title} tabIndex={-1}>
      {mapped && <p role="status">{say(w.mapped, { name: mapped.fileName })}</p>}
      {unread && <Button onClick={() => void start(unread)}>{w.set}</Button>}
      {!unread && read && (
        <Button kind="plain" onClick={() => void start(read)}>
          {w.wrong}
        </Button>
      )}
      {open && (
        <open.Dialog
          fileName={open.file.fileName}
          text={open.file.text}
          onChanged={() => {
            onChanged();
            // The button that opened the dialog may disappear.
            ref.current?.focus();
          }}
          onClose={() => setOpen(null)}
        />
      )}
    </fieldset>
  );
}
