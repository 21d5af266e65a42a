/** What `npm start -- --phone` prints, and the page on which a phone gets the certificate. */
import encodeQR from 'qr';

/** File name of the certificate on the setup page. */
export const CERTIFICATE_FILE = 'strokebook.crt';

/** @type {readonly { phone: string, steps: readonly string[] }[]} */
const trustSteps = [
  {
    phone: 'Android',
    steps: [
      'Download the certificate with Chrome.',
      'Open Settings and search for "CA certificate". It is under Security, Encryption & credentials, Install a certificate.',
      `Choose CA certificate, Install anyway, then ${CERTIFICATE_FILE}.`,
    ],
  },
  {
    phone: 'iPhone',
    steps: [
      'Download the certificate with Safari and allow it.',
      'Settings, General, VPN & Device Management: choose Strokebook and install it.',
      'Settings, General, About, Certificate Trust Settings: switch Strokebook on.',
    ],
  },
];

/**
 * @typedef {object} PhoneAddresses
 * @property {string[]} app HTTPS addresses of the app, the preferred one first
 * @property {string[]} setup HTTP addresses of the setup page, in the same order
 * @property {string} fingerprint SHA-256 of the authority's certificate, hexadecimal with colons
 * @property {string} folder where the keys are
 */

/**
 * Text for the terminal.
 * @param {PhoneAddresses} addresses
 */
export function phoneLines({ app, setup, fingerprint, folder }) {
  return [
    '',
    'On a phone in the same Wi-Fi, open:',
    '',
    encodeQR(app[0] ?? '', 'ascii'),
    ...app.map((url) => `  ${url}`),
    '',
    `The first time, let the phone trust this computer: open ${setup[0]} there.`,
    ...trustSteps.flatMap(({ phone, steps }) => [
      '',
      `  ${phone}`,
      ...steps.map((step, at) => `  ${at + 1}. ${step}`),
    ]),
    '',
    'The certificate must have this SHA-256 fingerprint:',
    `  ${fingerprint}`,
    `Its key is in ${folder}. Keep it to yourself.`,
    'Everyone in this network can open these addresses. Ctrl+C stops it.',
  ].join('\n');
}

/**
 * The setup page. All values come from this computer: numeric addresses and a hexadecimal number.
 * @param {string} appUrl
 * @param {string} fingerprint
 */
export function setupPage(appUrl, fingerprint) {
  const list = trustSteps.map(
    ({ phone, steps }) =>
      `<h2>${phone}</h2><ol>${steps.map((step) => `<li>${step.replaceAll('&', '&amp;')}</li>`).join('')}</ol>`,
  );
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>Strokebook on this phone</title>
<style>
body { font: 1.1rem/1.5 system-ui, sans-serif; max-width: 36rem; margin: 0 auto; padding: 1rem }
a { display: block; padding: 0.8rem; margin: 1rem 0; border: 2px solid; border-radius: 0.4rem; text-align: center }
code { overflow-wrap: anywhere }
</style>
</head>
<body>
<h1>Strokebook on this phone</h1>
<p>The phone has to trust the computer once. The certificate is good for addresses in local networks only.</p>
<a href="/${CERTIFICATE_FILE}">Download the certificate</a>
<p>Its SHA-256 fingerprint must be the one that the computer shows:<br><code>${fingerprint}</code></p>
${list.join('\n')}
<a href="${appUrl}">Open Strokebook</a>
</body>
</html>
`;
}
