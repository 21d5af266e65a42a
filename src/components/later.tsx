import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';

/** Heights in CSS pixels that parts of pages had when they were left, by page and id. */
const leftHeights = new Map<string, number>();

/**
 * Renders its children in a task of their own, after what is above them: a phone shows that first, and no task gets long.
 * Until then it is as high as when it was last left, so that a step back finds the page where it was.
 * `id` must be unique on the page.
 */
export function Later({ id, children }: { id: string; children: ComponentChildren }) {
  const { path } = useLocation();
  const [key] = useState(`${path}#${id}`);
  const [isDue, setDue] = useState(false);
  const part = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const timer = setTimeout(() => setDue(true));
    return () => clearTimeout(timer);
  }, []);
  useLayoutEffect(
    () => () => {
      if (part.current) leftHeights.set(key, part.current.offsetHeight);
    },
    [key],
  );
  return (
    <div ref={part} style={{ minHeight: isDue ? undefined : `${leftHeights.get(key) ?? 0}px` }}>
      {isDue && children}
    </div>
  );
}
