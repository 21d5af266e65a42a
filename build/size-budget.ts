/** Prints what a phone has to load, and refuses a build that asks for too much. */
import { gzipSync } from 'node:zlib';
import type { Plugin, Rollup } from 'vite';

interface Budget {
  readonly name: string;
  readonly limitKb: number;
  /** The files that count towards it. */
  readonly files: (bundle: Rollup.OutputBundle) => readonly string[];
}

/** The page's own script and every module that it loads before it can run. */
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
  { name: 'first load', limitKb: 70, files: firstLoad },
  {
    name: 'analysis worker',
    limitKb: 25,
    // Capture and reading. Judgement, reader of files and leak model are chunks that it loads when first asked.
    files: (bundle) => Object.keys(bundle).filter((name) => /analysis\.worker.*\.js$/.test(name)),
  },
];

const contentOf = (item: Rollup.OutputChunk | Rollup.OutputAsset): string | Uint8Array =>
  item.type === 'chunk' ? item.code : item.source;

const gzipKb = (bundle: Rollup.OutputBundle, files: readonly string[]): number =>
  files.reduce((sum, name) => sum + gzipSync(contentOf(bundle[name]!)).length, 0) / 1000;

/** Every budget with what the bundle needs of it. */
export function weighBundle(bundle: Rollup.OutputBundle): readonly (Budget & { readonly sizeKb: number })[] {
  return budgets.map((budget) => ({ ...budget, sizeKb: gzipKb(bundle, budget.files(bundle)) }));
}

export function sizeBudget(): Plugin {
  return {
    name: 'size-budget',
    apply: 'build',
    writeBundle(_options, bundle) {
      // The worker is bundled by a run of its own inside this one; only the page's bundle has both.
      if (!Object.keys(bundle).some((name) => name.endsWith('.html'))) return;
      for (const { name, limitKb, sizeKb } of weighBundle(bundle)) {
        const line = `JavaScript, ${name}: ${sizeKb.toFixed(1)} kB gzip of ${limitKb} kB`;
        if (sizeKb > limitKb) this.error(`${line}: over budget`);
        console.log(line);
      }
    },
  };
}
