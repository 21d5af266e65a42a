/** Devices that may read and write the shared library. Tokens are stored as SHA-256 only. */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createBucket, LIMITS } from './limits.mjs';

/**
 * @typedef {object} Device
 * @property {string} id
 * @property {string} name
 * @property {string} hash SHA-256 of its token, hexadecimal
 * @property {string} joinedAt ISO 8601
 * @property {string} seenAt ISO 8601
 */

/** @param {string} text */
const sha256 = (text) => createHash('sha256').update(text).digest();

/** @param {string} name */
const cleaned = (name) => name.replace(/\p{C}/gu, ' ').trim().slice(0, LIMITS.nameLength);

/**
 * Opens the list of devices, and makes a new pairing secret, which is good until the process ends.
 * @param {string} folder
 */
export function openDevices(folder) {
  const file = join(folder, 'devices.json');
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  /** @type {Device[]} */
  let devices = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : [];
  const secret = randomBytes(16).toString('base64url');
  const attempts = createBucket(LIMITS.wrongSecretsPerMinute, LIMITS.wrongSecretsPerMinute / 60);
  let isLocked = false;

  const save = () => {
    writeFileSync(`${file}.new`, JSON.stringify(devices, null, 1), { mode: 0o600 });
    // A crash leaves the old file or the new one.
    renameSync(`${file}.new`, file);
  };

  return {
    secret,
    /**
     * A token for a new device; `null` when the secret is wrong, or there were too many attempts or devices.
     * @param {string} given
     * @param {string} name
     * @param {string} now ISO 8601
     */
    join(given, name, now) {
      if (isLocked || devices.length >= LIMITS.devices) return null;
      if (!timingSafeEqual(sha256(given), sha256(secret))) {
        if (attempts.take(1) > 0) {
          isLocked = true;
          setTimeout(() => {
            isLocked = false;
          }, 60_000).unref();
        }
        return null;
      }
      const token = randomBytes(24).toString('base64url');
      const device = {
        id: randomBytes(6).toString('hex'),
        name: cleaned(name) || 'Device',
        hash: sha256(token).toString('hex'),
        joinedAt: now,
        seenAt: now,
      };
      devices = [...devices, device];
      save();
      return { id: device.id, token };
    },
    /**
     * The device of a token; `undefined` for an unknown or revoked one.
     * @param {string | undefined} token
     */
    find(token) {
      if (token === undefined) return undefined;
      const hash = sha256(token).toString('hex');
      return devices.find((device) => device.hash === hash);
    },
    /** @param {string} id */
    has: (id) => devices.some((device) => device.id === id),
    list: () => devices.map(({ hash: _hash, ...device }) => device),
    /**
     * @param {string} id
     * @param {string} now
     */
    seen(id, now) {
      devices = devices.map((one) => (one.id === id ? { ...one, seenAt: now } : one));
      save();
    },
    /**
     * @param {string} id
     * @param {string} name
     */
    rename(id, name) {
      devices = devices.map((one) => (one.id === id ? { ...one, name: cleaned(name) || one.name } : one));
      save();
    },
    /** @param {string} id */
    revoke(id) {
      devices = devices.filter((one) => one.id !== id);
      save();
    },
  };
}
