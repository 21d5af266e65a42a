/** Keeps the authority and the server certificate on this computer, outside the repository. */
import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { homedir, hostname } from 'node:os';
import { join } from 'node:path';
import { isAuthorityCurrent, isServerCurrent, makeAuthority, makeServerIdentity } from './certificates.mjs';

/**
 * Folder for the keys, by the conventions of the platform.
 * @param {NodeJS.ProcessEnv} [env]
 * @param {NodeJS.Platform} [platform]
 */
export function keyFolder(env = process.env, platform = process.platform) {
  if (platform === 'win32')
    return join(env.LOCALAPPDATA ?? join(homedir(), 'AppData', 'Local'), 'Strokebook');
  if (platform === 'darwin') return join(homedir(), 'Library', 'Application Support', 'Strokebook');
  return join(env.XDG_DATA_HOME || join(homedir(), '.local', 'share'), 'strokebook');
}

/**
 * @param {string} folder
 * @param {string} name
 * @returns {import('./certificates.mjs').Identity | undefined}
 */
function read(folder, name) {
  const [certificate, privateKey] = [join(folder, `${name}.pem`), join(folder, `${name}.key.pem`)];
  if (!existsSync(certificate) || !existsSync(privateKey)) return undefined;
  return { certificate: readFileSync(certificate, 'utf8'), privateKey: readFileSync(privateKey, 'utf8') };
}

/**
 * @param {string} folder
 * @param {string} name
 * @param {import('./certificates.mjs').Identity} identity
 */
function write(folder, name, { certificate, privateKey }) {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const keyFile = join(folder, `${name}.key.pem`);
  writeFileSync(keyFile, privateKey, { mode: 0o600 });
  // The mode above is for new files only.
  chmodSync(keyFile, 0o600);
  writeFileSync(join(folder, `${name}.pem`), certificate);
}

/**
 * The stored authority and server certificate. Makes what is missing, near its end, or does not cover the names and
 * addresses. The authority stays as long as it lives, because a phone has to trust a new one again.
 * @param {{ folder: string, names: string[], addresses: string[], nowMs: number }} wanted
 */
export async function identities({ folder, names, addresses, nowMs }) {
  let authority = read(folder, 'authority');
  if (!authority || !isAuthorityCurrent(authority, nowMs)) {
    authority = await makeAuthority(hostname(), nowMs);
    write(folder, 'authority', authority);
  }
  let server = read(folder, 'server');
  if (!server || !isServerCurrent(server, authority, names, addresses, nowMs)) {
    server = await makeServerIdentity(authority, names, addresses, nowMs);
    write(folder, 'server', server);
  }
  return { authority, server };
}
