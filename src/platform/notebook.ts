import type { Notebook } from './ports.ts';

/** Local storage, which a browser may refuse altogether: then settings last as long as the tab. */
export function createNotebook(): Notebook {
  return {
    read(key) {
      try {
        return localStorage.getItem(key);
      } catch {
        return null;
      }
    },
    write(key, text) {
      try {
        localStorage.setItem(key, text);
      } catch {
        // Kept for this tab by whoever asked.
      }
    },
  };
}
