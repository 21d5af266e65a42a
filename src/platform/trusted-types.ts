/**
 * The page's only Trusted Types policy (W3C Trusted Types). It checks every worker and script URL. Markup and code from
 * strings have no policy, so the browser refuses them. `main.tsx` imports it before any module that starts a worker.
 */

interface PolicyFactory {
  createPolicy(name: string, rules: { createScriptURL(address: string): string | null }): unknown;
}

/** The absolute URL if it has the page's origin; else `null`, so that the browser refuses it. */
function ownScript(address: string): string | null {
  // `URL.parse` would do both, but is three versions of Chrome newer than the oldest one supported.
  if (!URL.canParse(address, document.baseURI)) return null;
  const url = new URL(address, document.baseURI);
  return url.origin === location.origin ? url.href : null;
}

// Missing in browsers without Trusted Types; the rest of the security policy still applies there.
const { trustedTypes } = globalThis as { trustedTypes?: PolicyFactory };
trustedTypes?.createPolicy('default', { createScriptURL: ownScript });
