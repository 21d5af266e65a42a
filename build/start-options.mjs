/** Options of `npm start`. Uses only Node's own modules, because it runs before any package is installed. */
import { isIPv4 } from 'node:net';
import { parseArgs } from 'node:util';

export const usage = `npm start [-- OPTIONS]

  Installs, builds and serves Strokebook on this computer only, at 127.0.0.1.

  --phone            serves it on the local network too, over HTTPS, for a phone to open
  --share            keeps one library for several devices, which join by a code; with --phone also phones
  --address ADDRESS  with --phone: serves only this IPv4 address of the computer
  --help             prints this`;

/** @param {string[]} args */
function valuesOf(args) {
  try {
    return parseArgs({
      args,
      options: {
        phone: { type: 'boolean' },
        share: { type: 'boolean' },
        help: { type: 'boolean' },
        address: { type: 'string' },
      },
    }).values;
  } catch (cause) {
    throw new Error(`${usage}\n\n${cause instanceof Error ? cause.message : cause}`);
  }
}

/**
 * Reads the arguments. Throws an error with a message for people when one is unknown or does not fit.
 * @param {string[]} args
 * @returns {{ phone: boolean, share: boolean, help: boolean, address: string | undefined }}
 */
export function startOptions(args) {
  const { phone = false, share = false, help = false, address } = valuesOf(args);
  if (address !== undefined && !phone) throw new Error('--address is only used together with --phone.');
  if (address !== undefined && !isIPv4(address))
    throw new Error(`--address needs an IPv4 address, not ${address}.`);
  return { phone, share, help, address };
}
