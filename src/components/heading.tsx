import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { useReader } from './model.ts';

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
