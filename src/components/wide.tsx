import type { ComponentChildren } from 'preact';
import { useReader } from './model.ts';

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
