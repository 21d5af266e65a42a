import type { ComponentChildren } from 'preact';
import { LocationProvider, useLocation } from 'preact-iso';

/** Path of the app's folder on its host, starting and ending in a slash. `build/find-base.js` sets the base URL. */
const folder = new URL(document.baseURI).pathname;

/**
 * Makes the location relative to the app's folder: `path` starts with a slash after the folder, and `route` takes
 * addresses as in links, relative to the base URL: `settings`, or `./` for the start page.
 */
function InFolder({ children }: { children: ComponentChildren }) {
  const location = useLocation();
  const inFolder = {
    ...location,
    path: location.path.slice(folder.length - 1) || '/',
    route(to: string, replace?: boolean) {
      const { pathname, search } = new URL(to, document.baseURI);
      location.route(pathname + search, replace);
    },
  };
  return <LocationProvider.ctx.Provider value={inFolder}>{children}</LocationProvider.ctx.Provider>;
}

/** Location of the page and its changes, for the router and for `useLocation`. */
export function AppLocation({ children }: { children: ComponentChildren }) {
  return (
    <LocationProvider>
      <InFolder>{children}</InFolder>
    </LocationProvider>
  );
}
