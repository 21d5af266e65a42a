/** The header files for static hosts say the same as the policy in the built page. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, inject, it } from 'vitest';

const read = (name: string): string => readFileSync(join(inject('appFolder'), name), 'utf8');

/** Policy of the page's meta element. */
function policyOfPage(): string {
  const content = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(read('index.html'));
  return content![1]!.replaceAll('&#39;', "'");
}

/** Security headers in a file, by lower-case name. */
function headersIn(name: string): Record<string, string> {
  const line = /^\s*(?:Header always set |add_header )?([A-Z][A-Za-z-]+):? "?([^"\n]+?)"?(?: always;)?$/gm;
  const found = [...read(name).matchAll(line)].map((match) => [match[1]!.toLowerCase(), match[2]!]);
  return Object.fromEntries(found.filter(([header]) => !/^(?:cache-control|addtype|rewrite)/.test(header!)));
}

it.each(['_headers', '.htaccess', 'hosting/nginx.conf', 'hosting/Caddyfile'])(
  '%s has the policy of the page and the headers of the preview server',
  async (name) => {
    const headers = headersIn(name);
    // A meta element cannot say who may frame the page.
    expect(headers['content-security-policy']).toBe(`${policyOfPage()}; frame-ancestors 'none'`);
    const sent = (await fetch(inject('appUrl'))).headers;
    const names = [
      'content-security-policy',
      'cross-origin-opener-policy',
      'cross-origin-resource-policy',
      'permissions-policy',
      'referrer-policy',
      'x-content-type-options',
    ];
    expect(headers).toEqual(Object.fromEntries(names.map((header) => [header, sent.get(header)])));
  },
);

it('lets hosts keep the assets, and ask again for the page and the service worker', () => {
  const rules = read('_headers').split(/^(?=\/)/m);
  const cacheOf = (path: string) =>
    /Cache-Control: (.*)/.exec(rules.find((rule) => rule.startsWith(`${path}\n`)) ?? '')?.[1];
  expect(cacheOf('/assets/*')).toContain('immutable');
  expect(cacheOf('/index.html')).toBe('no-cache');
  expect(cacheOf('/service-worker.js')).toBe('no-cache');
});

it('has the page as fallback, and stores none of these files offline', () => {
  expect(read('404.html')).toBe(read('index.html'));
  expect(read('service-worker.js')).not.toMatch(/404\.html|_headers|_redirects|htaccess|hosting/);
});
