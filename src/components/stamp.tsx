import type { ComponentChildren } from 'preact';

/** A label for the origin of figures, such as a simulation or a recording. */
export function Stamp({ children }: { children: ComponentChildren }) {
  return <span class="stamp">{children}</span>;
}
