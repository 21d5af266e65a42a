/** Security policy of the built app and its one inline script: only its own files, no other servers. Sent in the page and in HTTP headers. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';
import { root } from './install.mjs';

/** The page's only inline script, without the comment at its start. */
const findBase = readFileSync(join(root, 'build/find-base.js'), 'utf8').replace(/^\/\*.*?\*\/\s*/s, '');
const findBaseHash = createHash('sha256').update(findBase).digest('base64');

/** Allowed sources by directive. All other directives fall back to `default-src`, which allows nothing. */
const policy: Readonly<Record<string, string>> = {
  'default-src': "'none'",
  'script-src': `'self' 'sha256-${findBaseHash}'`,
  'worker-src': "'self'",
  'style-src': "'self'",
  // `blob:` for plug photos from memory, `data:` for small images in the styles.
  'img-src': "'self' blob: data:",
  // `blob:` for a film of a dial gauge, from a file that the user chose.
  'media-src': "'self' blob:",
  'connect-src': "'self'",
  'manifest-src': "'self'",
  // The inline script sets the base URL to the app's own folder.
  'base-uri': "'self'",
  'form-action': "'none'",
  // Strings cannot become markup or code. Script URLs pass the one policy in src/platform/trusted-types.ts.
  'require-trusted-types-for': "'script'",
  'trusted-types': 'default',
};

const written = (rules: Readonly<Record<string, string>>): string =>
  Object.entries(rules)
    .map(([directive, sources]) => `${directive} ${sources}`)
    .join('; ');

/** Browser features that the app uses. */
const used = [
  'autoplay',
  'bluetooth',
  'camera',
  'clipboard-write',
  'screen-wake-lock',
  'serial',
  'web-share',
];

/** Unused features that are allowed by default. Each must be listed, because a header cannot refuse all at once. */
const unused = [
  'accelerometer',
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
  'storage-access',
  'usb',
  'window-management',
  'xr-spatial-tracking',
];

/** Headers for every file, on the preview server and on any other. */
export const securityHeaders: Readonly<Record<string, string>> = {
  // `frame-ancestors` is ignored in a page's meta element.
  'Content-Security-Policy': written({ ...policy, 'frame-ancestors': "'none'" }),
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': [...used.map((name) => `${name}=(self)`), ...unused.map((name) => `${name}=()`)].join(
    ', ',
  ),
};

const inPage = { 'http-equiv': 'Content-Security-Policy', content: written(policy) };

const charset = /<meta charset="utf-8"[^>]*>\s*/;

/** Vite plug-in that writes the policy and the inline script into the page, after its encoding. The development server needs inline scripts and omits it. */
export function securityPolicy(): Plugin {
  return {
    name: 'security-policy',
    config: () => ({ preview: { headers: { ...securityHeaders } } }),
    transformIndexHtml: {
      order: 'post',
      handler: (html, { server }) => ({
        html: html.replace(charset, ''),
        tags: [
          // Browsers look for the encoding in the first 1024 bytes only.
          { tag: 'meta', attrs: { charset: 'utf-8' }, injectTo: 'head-prepend' },
          ...(server ? [] : [{ tag: 'meta', attrs: inPage, injectTo: 'head-prepend' as const }]),
          { tag: 'script', children: findBase, injectTo: 'head-prepend' },
        ],
      }),
    },
  };
}
