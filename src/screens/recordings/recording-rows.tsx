import type { RecordedTrace } from '../../../worker/file/csv/trace-file.ts';
import { Choice } from '../../components/choice.tsx';
import { Field } from '../../components/field.tsx';
import { useReader } from '../../components/model.ts';
import type { Assignment } from './recording-engine.ts';
import { recordingValues } from './recording-picker.tsx';

interface RecordingRowsProps {
  traces: readonly RecordedTrace[];
  rows: readonly Assignment[];
  /** Message that prevents continuing. */
  wrong: (row: Assignment) => string | undefined;
  /** Message that does not prevent continuing. */
  remark: (row: Assignment) => string | undefined;
  onChange: (rows: Assignment[]) => void;
}

/** Cylinder and condition of each recording. */
export function RecordingRows({ traces, rows, wrong, remark, onChange }: RecordingRowsProps) {
  const { t, say } = useReader();
  return (
    <ul class="index">
      {traces.map((trace, i) => {
        const row = rows[i];
        if (!row) return null;
        return (
          <RecordingRow
            key={i}
            title={say(t.crank.recordingLine, recordingValues(trace))}
            row={row}
            wrong={wrong(row)}
            remark={remark(row)}
            onChange={(patch) => onChange(rows.map((one, k) => (k === i ? { ...one, ...patch } : one)))}
          />
        );
      })}
    </ul>
  );
}

interface RecordingRowProps {
  title: string;
  row: Assignment;
  wrong: string | undefined;
  remark: string | undefined;
  onChange: (patch: Partial<Assignment>) => void;
}

function RecordingRow({ title, row, wrong, remark, onChange }: RecordingRowProps) {
  const { t } = useReader();
  return (
    <li class="assignment">
      <p>{title}</p>
      <Field
        label={t.column.cylinder}
        value={row.cylinder}
        decimal
        wrong={wrong}
        onInput={(cylinder) => onChange({ cylinder })}
      />
      <Choice<Assignment['condition']>
        legend={t.column.condition}
        value={row.condition}
        options={[
          { value: 'dry', label: t.condition.dry },
          { value: 'wet', label: t.condition.wet },
          { value: 'leave-out', label: t.open.leaveOut },
        ]}
        onChoose={(condition) => onChange({ condition })}
      />
      {remark && <p role="status">{remark}</p>}
    </li>
  );
}
