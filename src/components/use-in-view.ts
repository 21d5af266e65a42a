import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

export interface InView<T extends Element> {
  readonly ref: RefObject<T | null>;
  /** In the viewport, or within `MARGIN` of it. */
  readonly isInView: boolean;
  /** Is or has been in view. */
  readonly wasInView: boolean;
}

/** Rows this close to the viewport count as in view, so that they load before they appear. */
const MARGIN = '300px 0px';

type Callback = (isInView: boolean) => void;
const callbacks = new WeakMap<Element, Callback>();
/** One observer for all elements: a list may have hundreds of rows. */
let shared: IntersectionObserver | null = null;

function observer(): IntersectionObserver {
  shared ??= new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) callbacks.get(target)?.(isIntersecting);
    },
    { rootMargin: MARGIN },
  );
  return shared;
}

/** Whether an element is in view, for rows that load only when visible. */
export function useInView<T extends Element>(): InView<T> {
  const ref = useRef<T | null>(null);
  const [isInView, setInView] = useState(false);
  const [wasInView, setWasInView] = useState(false);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    callbacks.set(element, (now) => {
      setInView(now);
      if (now) setWasInView(true);
    });
    observer().observe(element);
    return () => observer().unobserve(element);
  }, []);
  return { ref, isInView, wasInView };
}
