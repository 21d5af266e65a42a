import { useId } from 'preact/hooks';

interface FieldProps {
  label: string;
  value: string;
  onInput: (value: string) => void;
  hint?: string | undefined;
  unit?: string | undefined;
  /** Validation message, shown under the field. The entered text is kept. */
  wrong?: string | undefined;
  decimal?: boolean;
  lines?: number;
  /** Maximum number of characters. */
  most?: number;
  onBlur?: () => void;
  /** Hides the label visually; screen readers still read it. */
  quiet?: boolean;
}

/** A labelled text field with optional hint, unit and validation message. */
export function Field({
  label,
  value,
  onInput,
  hint,
  unit,
  wrong,
  decimal,
  lines,
  most,
  onBlur,
  quiet,
}: FieldProps) {
  const id = useId();
  const describedBy = [hint ? `${id}-hint` : '', wrong ? `${id}-wrong` : ''].filter(Boolean).join(' ');
  const shared = {
    id,
    value,
    autocomplete: 'off',
    maxLength: most,
    'aria-describedby': describedBy || undefined,
    'aria-invalid': wrong ? true : undefined,
    onBlur,
  };
  return (
    <div class={`field${wrong ? ' wrong' : ''}`}>
      <label class={quiet ? 'visually-hidden' : 'label'} for={id}>
        {label}
      </label>
      {hint && (
        <span class="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      <span class="line">
        {lines ? (
          <textarea {...shared} rows={lines} onInput={(event) => onInput(event.currentTarget.value)} />
        ) : (
          <input
            {...shared}
            type="text"
            inputMode={decimal ? 'decimal' : undefined}
            onInput={(event) => onInput(event.currentTarget.value)}
          />
        )}
        {unit && <span class="unit">{unit}</span>}
      </span>
      {wrong && (
        <span class="wrongly" id={`${id}-wrong`} role="alert">
          {wrong}
        </span>
      )}
    </div>
  );
}
