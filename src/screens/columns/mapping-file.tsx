import { useState } from 'preact/hooks';
import {
  type ColumnMapping,
  type FileShape,
  isSameShape,
} from '../../../worker/file/columns/column-mapping.ts';
import { MAPPING_EXTENSION, parseMapping, writeMapping } from '../../../worker/file/columns/mapping-file.ts';
import { Button } from '../../components/button.tsx';
import { useModel, useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { plainFileName } from '../../format/file-name.ts';

interface MappingFileProps {
  fileName: string;
  shape: FileShape;
  /** What the choices make so far; `undefined` while they are not complete. */
  mapping: ColumnMapping | undefined;
  onOpen: (mapping: ColumnMapping) => void;
  /** Only when a mapping is kept for this shape. */
  onForget: (() => void) | undefined;
}

/** Exports the mapping, opens an exported one, and forgets the one that is kept. */
export function MappingFile({ fileName, shape, mapping, onOpen, onForget }: MappingFileProps) {
  const { pickFiles, saveFile } = useModel();
  const { t, say } = useReader();
  const w = t.columns;
  const [wrong, setWrong] = useState<string | null>(null);
  const open = async () => {
    const [file] = await pickFiles('.json,application/json');
    if (!file) return;
    const outcome = parseMapping(await file.text());
    const fits = outcome.ok && isSameShape(outcome.mapping.shape, shape);
    setWrong(
      !outcome.ok
        ? say(w.openWrong, { detail: outcome.detail })
        : fits
          ? null
          : say(w.openOther, { columns: shape.columns }),
    );
    if (outcome.ok && fits) onOpen(outcome.mapping);
  };
  const save = (complete: ColumnMapping) => {
    const name = plainFileName(fileName.replace(/\.\w+$/, '')) || 'logger';
    saveFile(writeMapping(complete), `${name}${MAPPING_EXTENSION}`, 'application/json');
  };
  return (
    <Section title={w.more} hint={w.moreHint}>
      <div class="row">
        {mapping && <Button onClick={() => save(mapping)}>{w.export}</Button>}
        <Button onClick={() => void open()}>{w.open}</Button>
        {onForget && (
          <Button kind="plain" onClick={onForget}>
            {w.forget}
          </Button>
        )}
      </div>
      {wrong !== null && <p role="alert">{wrong}</p>}
    </Section>
  );
}
