/** What the built page may do: run its own files, talk to nobody else. Said in the page and, by whoever serves it, in a header. */
import type { Plugin } from 'vite';

/** Sources by directive. What is not named falls back to `default-src`: nothing. */
const policy: Readonly<Record<string, string>> = {
  'default-src': "'none'",
  'script-src': "'self'",
  'worker-src': "'self'",
  'style-src': "'self'",
  // Looks at plugs are shown from memory; small drawings of the styles come inside them.
  'img-src': "'self' blob: data:",
  'connect-src': "'self'",
  'manifest-src': "'self'",
  'base-uri': "'none'",
  'form-action': "'none'",
  // Strings never become markup or code; script addresses pass the one policy in src/platform/trusted-types.ts.
  'require-trusted-types-for': "'script'",
  'trusted-types': 'default',
};

const written = (rules: Readonly<Record<string, string>>): string =>
  Object.entries(rules)
    .map(([directive, sources]) => `${directive} ${sources}`)
    .join('; ');

/** Browser features that the app uses. */
const used = ['autoplay', 'bluetooth', 'clipboard-write', 'screen-wake-lock', 'web-share'];

/** Features that a page has by default and that the app does not use. A header cannot refuse all at once. */
const unused = [
  'accelerometer',
  'camera',
  'clipboard-read',
  'display-capture',
  'encrypted-media',
  'fullscreen',
  'gamepad',
  'geolocation',
  'gyroscope',
  'hid',
  'idle-detection',
  'local-fonts',
  'magnetometer',
  'microphone',
  'midi',
  'payment',
  'picture-in-picture',
  'publickey-credentials-create',
  'publickey-credentials-get',
  'serial',
  'storage-access',
  'usb',
  'window-management',
  'xr-spatial-tracking',
];

/** To be sent with every file, by this preview server as by any other. */
const securityHeaders: Readonly<Record<string, string>> = {
  // A page cannot say of itself who may frame it.
  'Content-Security-Policy': written({ ...policy, 'frame-ancestors': "'none'" }),
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': [...used.map((name) => `${name}=(self)`), ...unused.map((name) => `${name}=()`)].join(
    ', ',
  ),
};

/** Writes the policy into the built page. The development server works by inline scripts and goes without. */
export function securityPolicy(): Plugin {
  return {
    name: 'security-policy',
    config: () => ({ preview: { headers: { ...securityHeaders } } }),
    transformIndexHtml: {
      order: 'post',
      handler: (_html, { server }) =>
        server
          ? []
          : [
              {
                tag: 'meta',
                attrs: { 'http-equiv': 'Content-Security-Policy', content: written(policy) },
                injectTo: 'head-prepend',
              },
            ],
    },
  };
}
