/** Addresses and names under which this computer can be reached in the local network. */
import { BlockList } from 'node:net';
import { hostname, networkInterfaces } from 'node:os';

/** IPv4 networks that are not reachable from the internet (RFC 1918, RFC 3927) and the loopback, which tests use. */
export const localNetworks = /** @type {const} */ ([
  ['10.0.0.0', 8],
  ['172.16.0.0', 12],
  ['192.168.0.0', 16],
  ['169.254.0.0', 16],
  ['127.0.0.0', 8],
]);

const local = new BlockList();
for (const [network, prefix] of localNetworks) local.addSubnet(network, prefix);

/**
 * Addresses to serve: the one asked for, else all in a local network. Throws an error with a message for people when there
 * is none. Public addresses are never served.
 * @param {string} [wanted] an IPv4 address
 * @param {NodeJS.Dict<import('node:os').NetworkInterfaceInfo[]>} [interfaces]
 * @returns {string[]}
 */
export function addressesToServe(wanted, interfaces = networkInterfaces()) {
  const own = Object.values(interfaces)
    .flatMap((entries) => entries ?? [])
    .filter(({ family, address }) => family === 'IPv4' && local.check(address));
  if (wanted !== undefined) {
    if (own.some(({ address }) => address === wanted)) return [wanted];
    throw new Error(`${wanted} is not an address of this computer in a local network.`);
  }
  const outside = own.filter(({ internal }) => !internal).map(({ address }) => address);
  if (outside.length > 0) return outside;
  throw new Error(
    'This computer has no address in a local network. Connect it to the Wi-Fi that the phone uses, or use a USB cable; ' +
      'README.md says how.',
  );
}

/**
 * Name of this computer in the local network, by multicast DNS; none when its host name is not a DNS label.
 * @param {string} [host]
 * @returns {string[]}
 */
export function localNames(host = hostname()) {
  const label = host.split('.')[0]?.toLowerCase() ?? '';
  return /^[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?$/.test(label) ? [`${label}.local`] : [];
}
