/** `npm start -- --phone`: its certificates, and the folder and addresses they are for. */
import { X509Certificate } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect, createServer } from 'node:tls';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { addressesToServe, localNames } from '../../build/phone/addresses.mjs';
import { makeAuthority, makeServerIdentity } from '../../build/phone/certificates.mjs';
import { identities, keyFolder } from '../../build/phone/key-folder.mjs';
import { phoneLines, setupPage } from '../../build/phone/words.mjs';

const DAY_MS = 86_400_000;
const nowMs = Date.now();
const names = ['workshop.local'];
const addresses = ['192.168.1.20', '10.0.0.7'];

/** Outcome of a handshake for `host` with a server of these names, by a client that knows the authority only. */
async function handshake(host: string, dns: string[], ips: string[]): Promise<string> {
  const authority = await makeAuthority('workshop', nowMs);
  const { certificate, privateKey } = await makeServerIdentity(authority, dns, ips, nowMs);
  const server = createServer({ cert: certificate, key: privateKey });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  const outcome = await new Promise<string>((resolve) => {
    const client = connect({ port, host: '127.0.0.1', servername: host, ca: authority.certificate });
    client.once('secureConnect', () => resolve('trusted'));
    client.once('error', ({ message }) => resolve(message));
    client.once('close', () => server.close());
    client.once('secureConnect', () => client.end());
  });
  server.close();
  return outcome;
}

describe('the certificates', () => {
  it('are a chain for the names and addresses of the computer', async () => {
    const authority = await makeAuthority('workshop', nowMs);
    const server = await makeServerIdentity(authority, names, addresses, nowMs);
    const [top, leaf] = [new X509Certificate(authority.certificate), new X509Certificate(server.certificate)];
    expect(top.ca).toBe(true);
    expect(leaf.ca).toBe(false);
    expect(leaf.checkIssued(top)).toBe(true);
    expect(leaf.verify(top.publicKey)).toBe(true);
    for (const name of names) expect(leaf.checkHost(name)).toBe(name);
    for (const address of addresses) expect(leaf.checkIP(address)).toBe(address);
    expect(leaf.checkHost('other.local')).toBeUndefined();
  });

  it('are valid now, and the server for no more days than phones accept', async () => {
    const server = await makeServerIdentity(await makeAuthority('workshop', nowMs), names, addresses, nowMs);
    const { validFrom, validTo } = new X509Certificate(server.certificate);
    expect(Date.parse(validFrom)).toBeLessThan(nowMs);
    expect(Date.parse(validTo) - Date.parse(validFrom)).toBeLessThanOrEqual(397 * DAY_MS);
    expect(Date.parse(validTo) - nowMs).toBeGreaterThan(300 * DAY_MS);
  });

  it('are accepted by a client that trusts the authority', async () => {
    expect(await handshake('workshop.local', names, addresses)).toBe('trusted');
  });

  it('are refused for names and addresses of the internet, whoever has the key', async () => {
    expect(await handshake('shop.example', ['shop.example'], [])).toBe('permitted subtree violation');
    expect(await handshake('workshop.local', names, ['203.0.113.9'])).toBe('permitted subtree violation');
  });
});

describe('the folder of the keys', () => {
  let folder: string;
  beforeEach(() => {
    folder = join(mkdtempSync(join(tmpdir(), 'strokebook-keys-')), 'strokebook');
  });
  afterEach(() => rmSync(join(folder, '..'), { recursive: true, force: true }));

  const at = (change: Partial<Parameters<typeof identities>[0]> = {}) =>
    identities({ folder, names, addresses, nowMs, ...change });

  it('is outside the repository, by the conventions of the platform', () => {
    expect(keyFolder({ XDG_DATA_HOME: '/data' }, 'linux')).toBe('/data/strokebook');
    expect(keyFolder({}, 'linux')).toMatch(/\/\.local\/share\/strokebook$/);
    expect(keyFolder({}, 'darwin')).toMatch(/Library\/Application Support\/Strokebook$/);
  });

  it('keeps authority and server certificate while they fit', async () => {
    const first = await at();
    expect(await at({ nowMs: nowMs + 300 * DAY_MS })).toEqual(first);
  });

  it.skipIf(process.platform === 'win32')('lets only its owner read the keys', async () => {
    await at();
    const mode = (name: string) => statSync(join(folder, name)).mode & 0o777;
    expect([mode('.'), mode('authority.key.pem'), mode('server.key.pem')]).toEqual([0o700, 0o600, 0o600]);
    // A new key does not take over the mode of an old file.
    writeFileSync(join(folder, 'server.key.pem'), '');
    chmodSync(join(folder, 'server.key.pem'), 0o644);
    await at({ addresses: ['192.168.1.21'] });
    expect(mode('server.key.pem')).toBe(0o600);
  });

  it.each([
    { why: 'its end is near', change: { nowMs: nowMs + 370 * DAY_MS } },
    { why: 'an address is new', change: { addresses: [...addresses, '192.168.1.21'] } },
    { why: 'the name is new', change: { names: ['garage.local'] } },
  ])('renews the server certificate, not the authority, when $why', async ({ change }) => {
    const first = await at();
    const next = await at(change);
    expect(next.authority).toEqual(first.authority);
    expect(next.server.certificate).not.toBe(first.server.certificate);
    expect(
      new X509Certificate(next.server.certificate).verify(
        new X509Certificate(first.authority.certificate).publicKey,
      ),
    ).toBe(true);
  });

  it('makes a new authority before the old one ends', async () => {
    const first = await at();
    const next = await at({ nowMs: nowMs + 3300 * DAY_MS });
    expect(next.authority.certificate).not.toBe(first.authority.certificate);
  });
});

describe('the addresses', () => {
  const entry = (address: string, internal = false) => [
    { address, internal, family: 'IPv4' as const, netmask: '', mac: '', cidr: null },
  ];
  const interfaces = {
    lo: entry('127.0.0.1', true),
    wifi: entry('192.168.1.20'),
    provider: entry('203.0.113.9'),
  };

  it('are those in local networks, never public ones', () => {
    expect(addressesToServe(undefined, interfaces)).toEqual(['192.168.1.20']);
    expect(() => addressesToServe('203.0.113.9', interfaces)).toThrow('not an address of this computer');
    expect(() => addressesToServe('192.168.1.99', interfaces)).toThrow('not an address of this computer');
    expect(() => addressesToServe(undefined, { lo: interfaces.lo })).toThrow('no address in a local network');
  });

  it('have the name of the computer when it is one', () => {
    expect(localNames('Workshop.example.org')).toEqual(['workshop.local']);
    expect(localNames('my computer')).toEqual([]);
  });

  it('are printed and linked, with the fingerprint and the steps', () => {
    const served = { app: ['https://192.168.1.20:4443/'], setup: ['http://192.168.1.20:4180/'] };
    const printed = phoneLines({ ...served, fingerprint: 'AB:CD', folder: '/keys' });
    const page = setupPage(served.app[0]!, 'AB:CD');
    for (const text of [
      'https://192.168.1.20:4443/',
      'AB:CD',
      'CA certificate',
      'Certificate Trust Settings',
    ])
      for (const where of [printed, page]) expect(where).toContain(text);
    expect(printed).toContain('http://192.168.1.20:4180/');
  });
});
