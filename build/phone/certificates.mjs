/**
 * X.509 certificates (RFC 5280) for `npm start -- --phone`: an authority, which the phone trusts, and the server's, signed
 * by it. All keys are ECDSA P-256.
 */
import 'reflect-metadata';
import { createPrivateKey, webcrypto, X509Certificate } from 'node:crypto';
import { AsnConvert } from '@peculiar/asn1-schema';
import {
  GeneralName,
  GeneralSubtree,
  GeneralSubtrees,
  id_ce_nameConstraints,
  NameConstraints,
} from '@peculiar/asn1-x509';
import * as x509 from '@peculiar/x509';
import { localNetworks } from './addresses.mjs';

/**
 * A certificate with its private key, both PEM.
 * @typedef {{ certificate: string, privateKey: string }} Identity
 */

const DAY_MS = 86_400_000;
const AUTHORITY_DAYS = 3650;
/** Phones accept at most 397 days. */
const SERVER_DAYS = 396;
/** Clocks of phones may be behind. */
const EARLIER_DAYS = 1;
/** Renewed when fewer are left. */
const RENEW_DAYS = 30;

const algorithm = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' };
const crypto = /** @type {Crypto} */ (webcrypto);
x509.cryptoProvider.set(crypto);

const newKeys = () =>
  /** @type {Promise<CryptoKeyPair>} */ (crypto.subtle.generateKey(algorithm, true, ['sign', 'verify']));

/** @param {CryptoKey} key */
async function keyPem(key) {
  return x509.PemConverter.encode(await crypto.subtle.exportKey('pkcs8', key), 'PRIVATE KEY');
}

/** Names and addresses the authority may vouch for: the trust in it is worthless for any site of the internet. */
function localOnly() {
  const permitted = [
    new GeneralName({ dNSName: 'local' }),
    ...localNetworks.map(([network, prefix]) => new GeneralName({ iPAddress: `${network}/${prefix}` })),
  ].map((base) => new GeneralSubtree({ base }));
  const constraints = new NameConstraints({ permittedSubtrees: new GeneralSubtrees(permitted) });
  return new x509.Extension(id_ce_nameConstraints, true, AsnConvert.serialize(constraints));
}

/**
 * A new authority.
 * @param {string} computer name shown in the phone's settings
 * @param {number} nowMs
 * @returns {Promise<Identity>}
 */
export async function makeAuthority(computer, nowMs) {
  const keys = await newKeys();
  const certificate = await x509.X509CertificateGenerator.createSelfSigned({
    name: [{ CN: [`Strokebook on ${computer}`] }],
    keys,
    signingAlgorithm: algorithm,
    notBefore: new Date(nowMs - EARLIER_DAYS * DAY_MS),
    notAfter: new Date(nowMs + AUTHORITY_DAYS * DAY_MS),
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign | x509.KeyUsageFlags.cRLSign, true),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
      localOnly(),
    ],
  });
  return { certificate: certificate.toString('pem'), privateKey: await keyPem(keys.privateKey) };
}

/**
 * A new server certificate.
 * @param {Identity} authority
 * @param {string[]} names DNS names
 * @param {string[]} addresses IPv4 addresses
 * @param {number} nowMs
 * @returns {Promise<Identity>}
 */
export async function makeServerIdentity(authority, names, addresses, nowMs) {
  const issuer = new x509.X509Certificate(authority.certificate);
  const pkcs8 = createPrivateKey(authority.privateKey).export({ type: 'pkcs8', format: 'der' });
  const signingKey = await crypto.subtle.importKey('pkcs8', pkcs8, algorithm, false, ['sign']);
  const keys = await newKeys();
  const certificate = await x509.X509CertificateGenerator.create({
    subject: [{ CN: ['Strokebook'] }],
    issuer: issuer.subjectName.toJSON(),
    publicKey: keys.publicKey,
    signingKey,
    signingAlgorithm: algorithm,
    notBefore: new Date(nowMs - EARLIER_DAYS * DAY_MS),
    notAfter: new Date(nowMs + (SERVER_DAYS - EARLIER_DAYS) * DAY_MS),
    extensions: [
      new x509.BasicConstraintsExtension(false, undefined, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.digitalSignature, true),
      new x509.ExtendedKeyUsageExtension([x509.ExtendedKeyUsage.serverAuth]),
      new x509.SubjectAlternativeNameExtension([
        ...names.map((value) => ({ type: /** @type {const} */ ('dns'), value })),
        ...addresses.map((value) => ({ type: /** @type {const} */ ('ip'), value })),
      ]),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
      await x509.AuthorityKeyIdentifierExtension.create(await issuer.publicKey.export()),
    ],
  });
  return { certificate: certificate.toString('pem'), privateKey: await keyPem(keys.privateKey) };
}

/**
 * Whether the authority can still sign a certificate that phones accept until it is renewed.
 * @param {Identity} authority
 * @param {number} nowMs
 */
export const isAuthorityCurrent = ({ certificate }, nowMs) =>
  Date.parse(new X509Certificate(certificate).validTo) > nowMs + SERVER_DAYS * DAY_MS;

/**
 * Whether the server certificate is signed by the authority, covers all names and addresses, and is not near its end.
 * @param {Identity} server
 * @param {Identity} authority
 * @param {string[]} names
 * @param {string[]} addresses
 * @param {number} nowMs
 */
export function isServerCurrent(server, authority, names, addresses, nowMs) {
  const certificate = new X509Certificate(server.certificate);
  return (
    Date.parse(certificate.validTo) > nowMs + RENEW_DAYS * DAY_MS &&
    certificate.verify(new X509Certificate(authority.certificate).publicKey) &&
    names.every((name) => certificate.checkHost(name) !== undefined) &&
    addresses.every((address) => certificate.checkIP(address) !== undefined)
  );
}
