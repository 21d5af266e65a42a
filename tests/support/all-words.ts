/** Loads the English words before the tests of a file, as the app does before it shows a screen of its own chunk. */
import { loadAllWords } from '../../src/copy/languages.ts';

await loadAllWords('en');
