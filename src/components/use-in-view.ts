import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

export interface InView<T extends Element> {
  readonly ref: RefObject<T | null>;
  /** In the window, or about to come into it. */
  readonly isInView: boolean;
  /** Is, or was. */
  readonly wasInView: boolean;
}

/** So far beyond the edge of the window counts as in view: what is there then is read when it comes. */
const MARGIN = '300px 0px';

type Tell = (isInView: boolean) => void;
const tells = new WeakMap<Element, Tell>();
/** One for all: rows come by the hundred. */
let shared: IntersectionObserver | null = null;

function observer(): IntersectionObserver {
  shared ??= new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) tells.get(target)?.(isIntersecting);
    },
    { rootMargin: MARGIN },
  );
  return shared;
}

/** Whether an element is in view, for rows of long lists that read nothing before they are seen. */
export function useInView<T extends Element>(): InView<T> {
  const ref = useRef<T | null>(null);
  const [isInView, setInView] = useState(false);
  const [wasInView, setWasInView] = useState(false);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    tells.set(element, (now) => {
      setInView(now);
      if (now) setWasInView(true);
    });
    observer().observe(element);
    return () => observer().unobserve(element);
  }, []);
  return { ref, isInView, wasInView };
}
