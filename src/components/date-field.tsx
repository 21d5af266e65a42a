import { useId, useState } from 'preact/hooks';

interface DateFieldProps {
  label: string;
  /** `YYYY-MM-DD`, or empty. */
  value: string;
  /** First and last day that the browser's calendar offers. */
  earliest: string;
  latest: string;
  /** Text for a day that cannot be accepted; `undefined` when it can. An incomplete date is `''`. */
  check: (day: string) => string | undefined;
  /** Called with each day that is accepted. */
  onAccept: (day: string) => void;
  /** Called with whatever is typed; `''` while it is incomplete. */
  onType?: ((day: string) => void) | undefined;
}

/** A day in the browser's own date field, which follows the reader's locale. */
export function DateField({ label, value, earliest, latest, check, onAccept, onType }: DateFieldProps) {
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
          aria-describedby={wrong ? `${id}-wrong` : undefined}
          aria-invalid={wrong ? true : undefined}
          // While a year is typed, the browser reports years such as 0002, so the day is checked on leaving.
          onInput={({ currentTarget: { value: day } }) => {
            setTyped(day);
            onType?.(day);
          }}
          // A day picked from a calendar: on some phones the field keeps the focus.
          onChange={({ currentTarget: { value: day } }) => check(day) === undefined && leave(day)}
          onBlur={(event) => leave(event.currentTarget.value)}
        />
      </span>
      {wrong && (
        <span class="wrongly" id={`${id}-wrong`} role="alert">
          {wrong}
        </span>
      )}
    </div>
  );
}
