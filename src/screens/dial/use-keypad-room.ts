import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/**
 * Keeps an element in sight when the on-screen keypad opens or the window changes. Browsers scroll only the focused
 * field into view, and the controls around it may stay behind the keypad.
 */
export function useKeypadRoom(): RefObject<HTMLDivElement | null> {
  const room = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const view = window.visualViewport;
    const show = () => {
      const focused = document.activeElement;
      if (focused instanceof HTMLInputElement && room.current?.contains(focused))
        room.current.scrollIntoView({ block: 'start' });
    };
    view?.addEventListener('resize', show);
    return () => view?.removeEventListener('resize', show);
  }, []);
  return room;
}
