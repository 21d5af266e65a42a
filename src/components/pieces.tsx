/** Shared pieces of a page. */
import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { useReader } from './model.ts';

/** A section of a page: heading in the margin, content on the page. */
export function Section({
  title,
  hint,
  children,
  id,
}: {
  title: string;
  hint?: string | undefined;
  children: ComponentChildren;
  id?: string;
}) {
  const headingId = useId();
  return (
    <section class="section" id={id} aria-labelledby={headingId}>
      <div class="aside">
        <h2 id={headingId}>{title}</h2>
        {hint && <p>{hint}</p>}
      </div>
      <div class="matter">{children}</div>
    </section>
  );
}

/** The heading of a page. Takes focus when the page opens, so that keyboard and screen reader start there. */
export function Heading({
  children,
  visuallyHidden = false,
}: {
  children: ComponentChildren;
  visuallyHidden?: boolean;
}) {
  const ref = useRef<HTMLHeadingElement>(null);
  const { t } = useReader();
  useEffect(() => ref.current?.focus({ preventScroll: true }), []);
  useEffect(() => {
    document.title = [ref.current?.textContent, t.app.name].filter(Boolean).join(' – ');
  });
  return (
    <h1 ref={ref} tabIndex={-1} class={visuallyHidden ? 'visually-hidden' : undefined}>
      {children}
    </h1>
  );
}

/** Head of a page: an optional line above, the heading, and content below. */
export function PageHead({
  title,
  over,
  children,
}: {
  title: string;
  over?: ComponentChildren;
  children?: ComponentChildren;
}) {
  return (
    <header class="page-head stack-tight">
      {over && <p class="over">{over}</p>}
      <Heading>{title}</Heading>
      {children}
    </header>
  );
}

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

interface ChoiceProps<T extends string> {
  legend: string;
  value: T;
  options: readonly { readonly value: T; readonly label: string }[];
  onChoose: (value: T) => void;
  /** Hides the legend visually; screen readers still read it. */
  quiet?: boolean;
}

/** A group of radio buttons. */
export function Choice<T extends string>({
  legend,
  value,
  options,
  onChoose,
  quiet = false,
}: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset class="choice">
      <legend class={quiet ? 'visually-hidden' : ''}>{legend}</legend>
      <div class="options">
        {options.map((option) => (
          <label key={option.value}>
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              onChange={() => onChoose(option.value)}
            />
            {option.label}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

interface TickProps {
  checked: boolean;
  onChange: (checked: boolean) => void;
  label: string;
  why?: string | undefined;
  must?: boolean;
}

/** A checkbox with its label and the reason for it. */
export function Tick({ checked, onChange, label, why, must = false }: TickProps) {
  return (
    <label class="tick">
      <input type="checkbox" checked={checked} onChange={(event) => onChange(event.currentTarget.checked)} />
      <span class={must ? 'must' : ''}>{label}</span>
      {why && <span class="why">{why}</span>}
    </label>
  );
}

/** A label for the origin of figures, such as a simulation or a recording. */
export function Stamp({ children }: { children: ComponentChildren }) {
  return <span class="stamp">{children}</span>;
}

/** A button. While blocked it can be focused and shows the reason. */
export function Button({
  children,
  onClick,
  kind = '',
  blocked,
  type = 'button',
}: {
  children: ComponentChildren;
  onClick?: () => void;
  kind?: 'main' | 'main stop' | 'plain' | '';
  /** Why the button does nothing at the moment. */
  blocked?: string | null | undefined;
  type?: 'button' | 'submit';
}) {
  const id = useId();
  return (
    <>
      <button
        type={type}
        class={`button ${kind}`}
        aria-disabled={blocked ? true : undefined}
        aria-describedby={blocked ? id : undefined}
        onClick={() => {
          if (!blocked) onClick?.();
        }}
      >
        {children}
      </button>
      {blocked && (
        <span class="visually-hidden" id={id}>
          {blocked}
        </span>
      )}
    </>
  );
}

/** A table wider than the page, in a scrollable region that the keyboard can reach. */
export function Wide({ title, children }: { title: string; children: ComponentChildren }) {
  const { t, say } = useReader();
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: the keyboard can only scroll it with focus.
    <section class="scroll" aria-label={say(t.app.tableOf, { title })} tabIndex={0}>
      {children}
    </section>
  );
}
