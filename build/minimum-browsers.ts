/**
 * The oldest browsers that the app runs in, by the compatibility tables of MDN (`@mdn/browser-compat-data`): `light-dark()` came with
 * Chrome and Edge 123 and Safari 17.5, `:has()` with Firefox 121. All else that cannot be missed came before these.
 */
export const minimumBrowsers = { chrome: '123', edge: '123', firefox: '121', safari: '17.5' } as const;

/** For `build.target` of the bundler. Safari of a phone wants some prefixes that the one of a desk does not. */
export const buildTarget: string[] = Object.entries({ ...minimumBrowsers, ios: minimumBrowsers.safari }).map(
  ([name, version]) => `${name}${version}`,
);
