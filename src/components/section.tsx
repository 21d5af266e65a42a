import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

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
