import { useId, useState } from 'preact/hooks';

interface DateFieldProps {
  label: string;
  /** `YYYY-MM-DD`, or empty. */
  value: string;
  /** First and last day that the browser's calendar offers. */
  earliest: string;
  latest: string;
  hint?: string | undefined;
  /** Text for a day that cannot be accepted; `undefined` when it can. An incomplete date is `''`. */
  check: (day: string) => string | undefined;
  /** Called with an accepted day when the field is left or a day is picked. */
  onAccept: (day: string) => void;
}

/** A day in the browser's own date field, which follows the reader's locale. */
export function DateField({ label, value, earliest, latest, hint, check, onAccept }: DateFieldProps) {
  const id = useId();
  /** Typed and not accepted yet; `null` when the field shows `value`. */
  const [typed, setTyped] = useState<string | null>(null);
  const [wrong, setWrong] = useState<string | undefined>();
  const leave = (day: string) => {
    const problem = check(day);
    setWrong(problem);
    if (problem !== undefined) return;
    setTyped(null);
    if (day !== value) onAccept(day);
  };
  const describedBy = [hint ? `${id}-hint` : '', wrong ? `${id}-wrong` : ''].filter(Boolean).join(' ');
  return (
    <div class={`field${wrong ? ' wrong' : ''}`}>
      <label class="label" for={id}>
        {label}
      </label>
      <span class="line">
        <input
          id={id}
          type="date"
          value={typed ?? value}
          min={earliest}
          max={latest}
          aria-describedby={describedBy || undefined}
          aria-invalid={wrong ? true : undefined}
          // While a year is typed, the browser reports years such as 0002, so the day is checked on leaving.
          onInput={(event) => setTyped(event.currentTarget.value)}
          onBlur={(event) => leave(event.currentTarget.value)}
        />
      </span>
      {hint && (
        <span class="hint" id={`${id}-hint`}>
          {hint}
        </span>
      )}
      {wrong && (
        <span class="wrongly" id={`${id}-wrong`} role="alert">
          {wrong}
        </span>
      )}
    </div>
  );
}
