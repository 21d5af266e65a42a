/*
 * Inline script at the start of the page, before any address is read. A static host answers deep addresses with the same
 * page, so the page looks for its own folder: from the folder of its address upwards, the first that has the file below as
 * a script. ES5, for unsupported browsers, too. Its hash is in the security policy.
 */
(function () {
  if (document.querySelector('base')) return;
  var path = location.pathname;
  var folder = path.slice(0, path.lastIndexOf('/') + 1);
  function isHere() {
    var request = new XMLHttpRequest();
    try {
      request.open('GET', folder + 'browser-check.js', false);
      request.send();
      return request.status === 200 && /javascript/.test(request.getResponseHeader('Content-Type') || '');
    } catch (_offline) {
      return false;
    }
  }
  while (folder !== '/' && !isHere()) folder = folder.replace(/[^/]*\/$/, '');
  var base = document.createElement('base');
  base.href = folder;
  document.head.appendChild(base);
})();
