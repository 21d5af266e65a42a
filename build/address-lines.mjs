/**
 * What `npm start` prints once the app is served. A browser keeps storage per address, port included.
 * @param {string} url where the app is served
 * @param {number} usualPort where it is served when nothing else uses that port
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
