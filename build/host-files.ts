/** Files for static hosts beside the built app: security headers, cache rules and the page as fallback, in their formats. */
import { copyFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Plugin } from 'vite';
import { securityHeaders } from './security-policy.ts';

/** Names below `assets/` change with their content. */
const FOREVER = 'public, max-age=31536000, immutable';
/** All others may be stored, but are asked for again: an old page would ask for assets that are gone. */
const ASK_AGAIN = 'no-cache';

const headers = Object.entries(securityHeaders);
const lines = (line: (name: string, value: string) => string): string =>
  headers.map(([name, value]) => line(name, value)).join('\n');

/** `_headers`, as several static hosts read it. Their default for other paths is to ask again. */
const headersFile = `/*
${lines((name, value) => `  ${name}: ${value}`)}
${['/', '/index.html', '/service-worker.js'].map((path) => `${path}\n  Cache-Control: ${ASK_AGAIN}`).join('\n')}
/assets/*
  Cache-Control: ${FOREVER}
`;

/** `_redirects`, read by the same hosts: the page for every path that is not a file. */
const redirectsFile = '/* /index.html 200\n';

/** `.htaccess` of Apache, for the folder it is in. */
const apacheFile = `<IfModule mod_headers.c>
${lines((name, value) => `  Header always set ${name} "${value}"`)}
  Header set Cache-Control "${ASK_AGAIN}"
  <If "%{REQUEST_URI} =~ m#/assets/#">
    Header set Cache-Control "${FOREVER}"
  </If>
</IfModule>
AddType application/manifest+json .webmanifest
<IfModule mod_rewrite.c>
  RewriteEngine On
  RewriteCond %{REQUEST_FILENAME} !-f
  RewriteRule !(^|/)assets/ index.html [L]
</IfModule>
`;

/** For `include` in a server block of nginx. `expires` leaves the headers of the block in place; `add_header` would not. */
const nginxFile = `${lines((name, value) => `add_header ${name} "${value}" always;`)}
expires -1;
location ~ /assets/ { expires 1y; }
location ~ \\.webmanifest$ { default_type application/manifest+json; }
`;

/** For `import` in a site block of Caddy. */
const caddyFile = `header {
${lines((name, value) => `  ${name} "${value}"`)}
  Cache-Control "${ASK_AGAIN}"
}
@assets path */assets/*
header @assets Cache-Control "${FOREVER}"
`;

const files: Readonly<Record<string, string>> = {
  _headers: headersFile,
  _redirects: redirectsFile,
  '.htaccess': apacheFile,
  'hosting/nginx.conf': nginxFile,
  'hosting/Caddyfile': caddyFile,
};

/** Vite plug-in that writes them after a build, and the page as `404.html` for hosts without another fallback. */
export function hostFiles(): Plugin {
  return {
    name: 'host-files',
    apply: 'build',
    // Runs after the list of offline files, which has none of these, and after the page got its version.
    writeBundle: {
      order: 'post',
      sequential: true,
      handler({ dir }, bundle) {
        if (dir === undefined || !Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
        for (const [name, text] of Object.entries(files)) {
          mkdirSync(dirname(join(dir, name)), { recursive: true });
          writeFileSync(join(dir, name), text);
        }
        copyFileSync(join(dir, 'index.html'), join(dir, '404.html'));
      },
    },
  };
}
