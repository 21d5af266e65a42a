/** Calls `changed` when the theme changes, by the system or by the user. */
export function followTheme(changed: () => void): () => void {
  const media = matchMedia('(prefers-color-scheme: dark)');
  const observer = new MutationObserver(changed);
  media.addEventListener('change', changed);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  return () => {
    media.removeEventListener('change', changed);
    observer.disconnect();
  };
}
