/** What `npm start -- --share` prints. */
import encodeQR from 'qr';

/**
 * Text for the terminal.
 * @param {string[]} urls addresses of the app, the preferred one first
 * @param {string} secret
 * @param {string} folder where the library is kept
 */
export function joinLines(urls, secret, folder) {
  // After the `#`: browsers do not send that part.
  const links = urls.map((url) => `${url}share#join=${secret}`);
  return [
    '',
    'One library for several devices. On each, open this address and join:',
    '',
    encodeQR(links[0] ?? '', 'ascii'),
    ...links.map((link) => `  ${link}`),
    '',
    'Everyone who has this code can join until the command is stopped. The next start makes a new one.',
    'Devices that have joined stay; the page "Other devices" lists and revokes them.',
    `The library is in ${folder}. To erase it: Ctrl+C, then delete that folder.`,
  ].join('\n');
}
