import type { FilePreview } from '../../../worker/file/columns/preview.ts';
import type { Delimiter } from '../../../worker/file/csv/header-row.ts';
import { Choice } from '../../components/choice.tsx';
import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';
import { Wide } from '../../components/wide.tsx';

interface FirstLinesProps {
  preview: FilePreview;
  /** Whether the file holds tabs; without them, the tab stands for no separator. */
  hasTabs: boolean;
  onSeparator: (separator: Delimiter) => void;
}

/** The first rows as a table, and another separator where the file allows one. */
export function FirstLines({ preview, hasTabs, onSeparator }: FirstLinesProps) {
  const { t, say } = useReader();
  const w = t.columns;
  const { columns, rows, shape, separators, bodyLine } = preview;
  return (
    <Section title={w.firstLines} hint={say(w.firstLinesHint, { line: bodyLine })}>
      <Wide title={w.linesTable}>
        <table class="first-lines">
          <caption class="visually-hidden">{w.linesTable}</caption>
          <thead>
            <tr>
              {columns.map(({ column, name }) => (
                <th key={column} scope="col">
                  {name === '' ? say(w.column, { n: column }) : name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row, i) => (
              <tr key={i}>
                {columns.map(({ column }) => (
                  <td key={column}>{row[column - 1]}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {separators.length > 1 && (
        <Choice<Delimiter>
          legend={w.separator}
          value={shape.separator}
          options={separators.map((value) => ({
            value,
            label: value === '\t' && !hasTabs ? w.oneColumn : w.separators[value],
          }))}
          onChoose={onSeparator}
        />
      )}
    </Section>
  );
}
