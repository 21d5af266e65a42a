/**
 * Text that `npm start` prints once the app is served. It explains a changed port, because browsers keep storage per
 * address including the port.
 * @param {string} url address of the app
 * @param {number} usualPort port used when it is free
 * @returns {string}
 */
export function addressLines(url, usualPort) {
  const lines = ['', `Strokebook is at ${url}`, 'Open it in a browser. Ctrl+C stops it.'];
  const usual = new URL(url);
  usual.port = String(usualPort);
  if (usual.href !== new URL(url).href) {
    lines.push(
      '',
      `Port ${usualPort} is taken, perhaps by a Strokebook that is still running.`,
      `A browser keeps a separate library for each address: the one at ${url} does not show`,
      `the engines you keep at ${usual.href}.`,
      `To get those: stop whatever uses port ${usualPort}, then run npm start again.`,
    );
  }
  return lines.join('\n');
}
