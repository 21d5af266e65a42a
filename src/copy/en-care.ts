/** Words on what keeps the app and its data whole: newer versions, what a browser can do, what is stored. */
export const careWords = {
  update: {
    ready: 'A newer version is ready.',
    use: 'Use it now',
  },
};
