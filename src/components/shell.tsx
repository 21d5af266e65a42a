import type { ComponentChildren } from 'preact';
import { useLocation } from 'preact-iso';
import { useReader } from './model.ts';

/** Page frame: name and navigation at the top, the page below. */
export function Shell({ children }: { children: ComponentChildren }) {
  const { t } = useReader();
  const { path, url } = useLocation();
  const link = (href: string, text: string) => (
    <a href={href} aria-current={path === `/${href}` ? 'page' : undefined}>
      {text}
    </a>
  );
  return (
    <div class="app">
      {/* `#page` alone would be below the base URL: the start page. A target keeps the router from taking the link. */}
      <a class="skip" href={`${url.split('#')[0]}#page`} target="_top">
        {t.app.skipToPage}
      </a>
      <header class="band">
        <a href="./" class="mark">
          <svg viewBox="0 0 30 24" width="30" height="24" aria-hidden="true" class="tally-mark">
            <path
              d="M4 3 L4.6 21 M10.6 3.4 L10 21 M16 3 L16.8 21 M22.6 3.2 L22.2 21 M1 17.5 L26 7"
              fill="none"
              stroke="currentColor"
              stroke-width="2.4"
              stroke-linecap="round"
            />
          </svg>
          {t.app.name}
        </a>
        <nav>
          {link('sensor', t.app.sensor)}
          {link('settings', t.app.settings)}
        </nav>
      </header>
      {children}
    </div>
  );
}

/** The main content of a page. `kind` is added to its class. */
export function Page({ children, kind = '' }: { children: ComponentChildren; kind?: string }) {
  return (
    <main id="page" class={`page ${kind}`}>
      {children}
    </main>
  );
}
