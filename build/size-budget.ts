/** Prints the download size of the app and fails a build that exceeds its budget. */
import { gzipSync } from 'node:zlib';
import type { Plugin, Rollup } from 'vite';

interface Budget {
  readonly name: string;
  /** Limit of the gzip size, 1000 bytes. */
  readonly limitKb: number;
  /** Names of the files that count towards it. */
  readonly files: (bundle: Rollup.OutputBundle) => readonly string[];
}

/** Files of the entry script and all its static imports. */
function firstLoad(bundle: Rollup.OutputBundle): string[] {
  const seen = new Set<string>();
  const visit = (fileName: string): void => {
    const item = bundle[fileName];
    if (item?.type !== 'chunk' || seen.has(fileName)) return;
    seen.add(fileName);
    item.imports.forEach(visit);
  };
  for (const item of Object.values(bundle)) if (item.type === 'chunk' && item.isEntry) visit(item.fileName);
  return [...seen];
}

const budgets: readonly Budget[] = [
  { name: 'first load', limitKb: 60, files: firstLoad },
  {
    name: 'analysis worker',
    limitKb: 25,
    // Capture and reading. Judgement, file parser and leak model are chunks that load on first use.
    files: (bundle) => Object.keys(bundle).filter((name) => /analysis\.worker.*\.js$/.test(name)),
  },
  {
    name: 'camera on a dial',
    limitKb: 25,
    // Worker, source and screen. Loaded when the user asks for them.
    files: (bundle) =>
      Object.keys(bundle).filter((name) =>
        /(dial\.worker|camera-set-up|camera-source|live)-.*\.js$/.test(name),
      ),
  },
];

const contentOf = (item: Rollup.OutputChunk | Rollup.OutputAsset): string | Uint8Array =>
  item.type === 'chunk' ? item.code : item.source;

const gzipKb = (bundle: Rollup.OutputBundle, files: readonly string[]): number =>
  files.reduce((sum, name) => sum + gzipSync(contentOf(bundle[name]!)).length, 0) / 1000;

/** All budgets with the gzip size of the bundle's files, 1000 bytes. */
export function weighBundle(bundle: Rollup.OutputBundle): readonly (Budget & { readonly sizeKb: number })[] {
  return budgets.map((budget) => ({ ...budget, sizeKb: gzipKb(bundle, budget.files(bundle)) }));
}

/** Vite plug-in that prints the sizes and fails a build over budget. */
export function sizeBudget(): Plugin {
  return {
    name: 'size-budget',
    apply: 'build',
    writeBundle(_options, bundle) {
      // The worker is bundled in a nested run; only the page's bundle contains both.
      if (!Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
      for (const { name, limitKb, sizeKb } of weighBundle(bundle)) {
        const line = `JavaScript, ${name}: ${sizeKb.toFixed(1)} kB gzip of ${limitKb} kB`;
        if (sizeKb > limitKb) this.error(`${line}: over budget`);
        console.log(line);
      }
    },
  };
}
