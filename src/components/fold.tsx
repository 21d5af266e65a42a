import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { Later } from './later.tsx';

/** Parts that are open, by page and id. Kept while the document lives, so that a step back finds them open. */
const opened = new Set<string>();

interface FoldProps {
  /** Fragment of the address that opens it: `tests/…/judge#rule`. */
  id: string;
  title: string;
  /** The content in a few words. */
  line?: string | undefined;
  hint?: string | undefined;
  children: ComponentChildren;
}

/** A section of a page that folds away, with its content summed up in the line that opens it. Printed open. */
export function Fold({ id, title, line, hint, children }: FoldProps) {
  const { path, url } = useLocation();
  const key = `${path}#${id}`;
  const [isOpen, setOpen] = useState(() => opened.has(key));
  const details = useRef<HTMLDetailsElement>(null);
  const toggle = (next: boolean) => {
    if (next) opened.add(key);
    else opened.delete(key);
    setOpen(next);
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new address may point here; `toggle` is a new closure on every render.
  useEffect(() => {
    const openIfNamed = () => {
      if (location.hash !== `#${id}`) return;
      toggle(true);
      // Opened at once, so that there is a content to scroll to.
      if (details.current) details.current.open = true;
      details.current?.scrollIntoView();
    };
    openIfNamed();
    addEventListener('hashchange', openIfNamed);
    return () => removeEventListener('hashchange', openIfNamed);
  }, [url, id]);
  useEffect(() => {
    // Paper shows everything. The browser takes the page right after `beforeprint`.
    let wasOpen = false;
    const before = () => {
      if (!details.current) return;
      wasOpen = details.current.open;
      details.current.open = true;
    };
    const after = () => {
      if (details.current) details.current.open = wasOpen;
    };
    addEventListener('beforeprint', before);
    addEventListener('afterprint', after);
    return () => {
      removeEventListener('beforeprint', before);
      removeEventListener('afterprint', after);
    };
  }, []);
  return (
    <details
      ref={details}
      id={id}
      class="section fold-section"
      open={isOpen}
      onToggle={(event) => toggle(event.currentTarget.open)}
    >
      <summary>
        <h2>{title}</h2>
        {line !== undefined && <span class="fold-line">{line}</span>}
      </summary>
      <div class="matter">
        <Later id={id}>
          {hint && <p class="quiet fold-hint">{hint}</p>}
          {children}
        </Later>
      </div>
    </details>
  );
}
