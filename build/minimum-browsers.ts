/**
 * Minimum browser versions, by the compatibility tables of MDN (`@mdn/browser-compat-data`). `light-dark()` requires
 * Chrome and Edge 123 and Safari 17.5, `:has()` requires Firefox 121. All other required features are older.
 */
export const minimumBrowsers = { chrome: '123', edge: '123', firefox: '121', safari: '17.5' } as const;

/** Value for Vite's `build.target`. Safari on iOS is included because it needs more prefixes than Safari on macOS. */
export const buildTarget: string[] = Object.entries({ ...minimumBrowsers, ios: minimumBrowsers.safari }).map(
  ([name, version]) => `${name}${version}`,
);
