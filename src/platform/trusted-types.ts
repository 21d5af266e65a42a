/**
 * The one Trusted Types policy of the page (W3C Trusted Types). The browser asks it for every worker and script address; markup
 * and code made of strings have no policy and are refused. Imported by `main.tsx` before what starts any.
 */

interface PolicyFactory {
  createPolicy(name: string, rules: { createScriptURL(address: string): string | null }): unknown;
}

/** The address if it is on this page's own origin, else `null`, which makes the browser refuse it. */
function ownScript(address: string, page: string): string | null {
  // `URL.parse` would do both, but came three versions of Chrome after the oldest one that this app runs in.
  if (!URL.canParse(address, page)) return null;
  const url = new URL(address, page);
  return url.origin === new URL(page).origin ? url.href : null;
}

// Missing in browsers without Trusted Types; the rest of the security policy still applies there.
const { trustedTypes } = globalThis as { trustedTypes?: PolicyFactory };
trustedTypes?.createPolicy('default', { createScriptURL: (address) => ownScript(address, location.href) });
