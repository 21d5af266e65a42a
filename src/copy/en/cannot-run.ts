/**
 * Shown where the app cannot run and therefore cannot choose a language. `build/cannot-run.ts` writes them into the
 * page.
 */

const needs = 'It needs Chrome {chrome}, Edge {edge}, Firefox {firefox} or Safari {safari}, or newer.';
const onIos = 'On an iPhone or iPad, every browser needs iOS or iPadOS {safari}.';

export const cannotRun = {
  tooOld: {
    title: 'This browser is too old for Strokebook',
    sentences: [
      needs,
      onIos,
      'Update this browser, or open this address in another one.',
      'Strokebook was not started. Nothing stored on this device was touched.',
    ],
  },
  notStarted: {
    title: 'Strokebook did not start',
    sentences: [
      'A part of it did not arrive, or this browser could not read it.',
      'Check the network, then load this page again.',
      `If that does not help, update this browser. ${needs} ${onIos}`,
      'Nothing stored on this device was deleted.',
    ],
  },
};
