/*
 * Runs before the app, and where the app cannot: in ES5, for any browser has to read it, and without markup made of strings, which the
 * security policy refuses. Shows one of two notices that the page has as templates.
 */
(function () {
  /** Of each browser, what came to it last. Which versions that makes is in build/minimum-browsers.ts. */
  function isNewEnough() {
    return (
      'noModule' in document.createElement('script') &&
      !!window.CSS &&
      typeof CSS.supports === 'function' &&
      CSS.supports('color', 'light-dark(#000, #fff)') &&
      CSS.supports('selector(:has(a))') &&
      typeof Array.prototype.toSpliced === 'function' &&
      typeof URL.canParse === 'function'
    );
  }

  function isStarted() {
    var app = document.getElementById('app');
    return app !== null && app.firstChild !== null;
  }

  /** Once; later calls find the template empty. */
  function show(id) {
    var template = document.getElementById(id);
    var notice = (template.content || template).firstElementChild;
    if (notice !== null) document.body.appendChild(notice);
  }

  /** Calls once the page and its modules have been loaded, or have failed. */
  function whenLoaded(call) {
    if (document.readyState === 'complete') call();
    else window.addEventListener('load', call);
  }

  if (!isNewEnough()) {
    // Where the browser goes on to read the app, src/platform/browser-check.ts ends it there.
    document.documentElement.setAttribute('data-too-old', '');
    document.addEventListener('DOMContentLoaded', function () {
      show('browser-too-old');
    });
    return;
  }

  // A script that does not arrive fires `error` on its own element only. Such an event does not bubble, so it is caught in the capture phase.
  window.addEventListener(
    'error',
    function (event) {
      if (event.target !== window && event.target.tagName !== 'SCRIPT') return;
      whenLoaded(function () {
        if (!isStarted()) show('not-started');
      });
    },
    true
  );
})();
