/** The one-way rule of DEVELOPERS.md, checked on the imports themselves. */
import { describe, expect, it } from 'vitest';
import { type Import, readSource, readSources, type SourceFile } from '../support/source-files.ts';

type Part = keyof typeof parts;

/** First match wins. */
const parts = {
  workerShell: /^worker\/(cli|read-dial)\.ts$/,
  workerCli: /^worker\/cli\//,
  simulatorShell: /^simulator\/cli\.ts$/,
  simulatorCli: /^simulator\/cli\//,
  core: /^worker\/core\//,
  wire: /^worker\/wire\//,
  file: /^worker\/file\//,
  words: /^worker\/words\//,
  dial: /^worker\/dial\//,
  workerEntry: /^worker\/analysis\.worker\.ts$/,
  worker: /^worker\/[^/]+\.ts$/,
  simulator: /^simulator\//,
  /** Words for browsers that cannot run the app, needed before any of it loads. */
  cannotRunWords: /^src\/copy\/en\/cannot-run\.ts$/,
  src: /^src\//,
  screenshots: /^build\/screenshots\.ts$/,
  phone: /^build\/phone\//,
  share: /^build\/share\//,
  build: /^build\//,
  tests: /^tests\//,
} as const;

interface Allowance {
  readonly parts: readonly Part[];
  /** Packages by name; `node:` is all of Node. */
  readonly packages: RegExp;
}

const none = /^$/;
const allowed: Readonly<Record<Exclude<Part, 'tests'>, Allowance>> = {
  core: { parts: ['core'], packages: none },
  wire: { parts: ['core', 'wire'], packages: /^zod\/mini$/ },
  file: { parts: ['core', 'file'], packages: /^(zod|papaparse)(\/|$)/ },
  words: { parts: ['core', 'words'], packages: none },
  dial: { parts: ['core', 'dial'], packages: none },
  worker: { parts: ['core', 'wire', 'file', 'worker'], packages: none },
  workerEntry: { parts: ['core', 'wire', 'file', 'worker'], packages: /^comlink$/ },
  // Its parser of arguments is pure: it takes the words and returns their meaning.
  workerCli: {
    parts: ['core', 'wire', 'file', 'words', 'dial', 'worker', 'workerCli'],
    packages: /^node:util$/,
  },
  workerShell: {
    parts: ['core', 'wire', 'file', 'words', 'dial', 'worker', 'workerCli'],
    packages: /^node:/,
  },
  simulator: { parts: ['core', 'wire', 'simulator'], packages: none },
  simulatorCli: { parts: ['core', 'wire', 'file', 'simulator', 'simulatorCli'], packages: none },
  simulatorShell: {
    parts: ['core', 'wire', 'file', 'workerCli', 'simulator', 'simulatorCli'],
    packages: /^node:/,
  },
  src: {
    parts: ['core', 'wire', 'file', 'words', 'dial', 'worker', 'workerEntry', 'simulator', 'src'],
    packages: /^(?!node:)/,
  },
  // It visits the screens of the app as the browser tests do.
  screenshots: { parts: ['build', 'tests'], packages: /^node:/ },
  cannotRunWords: { parts: [], packages: none },
  // Certificates and QR codes: nothing else of the build may need them.
  phone: { parts: ['phone'], packages: /^(node:|@peculiar\/|reflect-metadata$|qr$)/ },
  // The server of a shared library: nothing else of the build may need its packages.
  share: { parts: ['share'], packages: /^(node:|@hocuspocus\/|yjs$|lib0\/|ws$|classic-level$|qr$)/ },
  build: {
    parts: ['build', 'phone', 'share', 'cannotRunWords'],
    packages: /^(node:|vite$|playwright-core$)/,
  },
};

/** Folders of the user interface, from the ground up: each imports from itself and from those before it. */
const FLOORS =
  'platform format safety sources store share examples analysis library capture app copy components screens root.tsx main.tsx'.split(
    ' ',
  );
/** Built separately, as a script of its own. */
const APART = 'offline';

const floorOf = (path: string): string => path.split('/')[1]!;

function floorProblem(from: string, to: string): string | null {
  const [above, below] = [floorOf(from), floorOf(to)];
  if (above === below || FLOORS.indexOf(above) > FLOORS.indexOf(below)) return null;
  return `${above} may not import ${below}`;
}

const partOf = (path: string): Part | undefined =>
  (Object.keys(parts) as Part[]).find((part) => parts[part].test(path));

function importProblem(file: SourceFile, part: Exclude<Part, 'tests'>, found: Import): string | null {
  const { parts: mayImport, packages } = allowed[part];
  if (found.path === null) {
    return packages.test(found.specifier) ? null : `${part} may not use ${found.specifier}`;
  }
  // `new URL('..', import.meta.url)`: the root folder, not a module.
  if (part === 'build' && found.path === '.') return null;
  const target = partOf(found.path);
  if (target === undefined) {
    // Styles and pictures belong to the screens; any other file outside the parts may not be imported.
    const isAsset = part === 'src' && /^src\/.*\.(css|svg|json)$/.test(found.path);
    return isAsset ? null : `${found.specifier} leads out of the parts`;
  }
  if (!mayImport.includes(target)) return `${part} may not import ${target} (${found.specifier})`;
  if (!/\.(tsx?|mjs|css|svg|json)$/.test(found.path)) return `${found.specifier} does not name its file`;
  // Otherwise the simulator would prove the analysis by the analysis itself. Units are definitions, the same for both.
  if (part === 'simulator' && target === 'core' && !found.typeOnly && found.path !== 'worker/core/units.ts') {
    return `the simulator may take only types from core (${found.specifier})`;
  }
  if (file.path === found.path) return 'imports itself';
  return part === 'src' && target === 'src' ? floorProblem(file.path, found.path) : null;
}

function problemsOf(file: SourceFile): string[] {
  const part = partOf(file.path);
  if (part === undefined) return [`${file.path}: belongs to no part`];
  if (part === 'tests') return [];
  const exposes = file.imports.some((i) => i.specifier === 'comlink' && i.names.includes('expose'));
  return [
    ...file.imports.map((found) => importProblem(file, part, found)),
    exposes && part !== 'workerEntry' ? 'only the worker entry may expose' : null,
    file.hasDefaultExport ? 'has a default export' : null,
    file.isBarrel ? 'only re-exports' : null,
  ]
    .filter((problem) => problem !== null)
    .map((problem) => `${file.path}: ${problem}`);
}

/** Type-only imports load nothing, so they do not count. */
const filesThatLoad = (files: readonly SourceFile[], name: RegExp): string[] =>
  files
    .filter((file) => file.imports.some((i) => name.test(i.specifier) && !i.typeOnly))
    .map((file) => file.path);

const sources = readSources(['worker', 'simulator', 'src', 'build']);

describe('the one-way rule', () => {
  it('finds the source files', () => {
    expect(sources.map((file) => file.path)).toContain('worker/core/trace.ts');
    expect(sources.flatMap((file) => file.imports).length).toBeGreaterThan(20);
  });

  it('holds in every file', () => {
    expect(sources.flatMap(problemsOf)).toEqual([]);
  });

  it('knows the floor of every file of the user interface', () => {
    const floors = new Set(
      sources.filter(({ path }) => partOf(path) === 'src').map(({ path }) => floorOf(path)),
    );
    expect([...floors].filter((floor) => floor !== APART).sort()).toEqual([...FLOORS].sort());
  });

  it('keeps the plotting library in one file', () => {
    expect(filesThatLoad(sources, /^uplot(\/|$)/).length).toBeLessThanOrEqual(1);
  });
});

/** Each of these must be caught, or the tests above prove nothing. */
const mischief: readonly [path: string, text: string, problem: RegExp][] = [
  ['worker/core/a.ts', `import { x } from '../wire/b.ts'; x();`, /core may not import wire/],
  [
    'worker/core/a.ts',
    `import type { X } from '../../src/sources/port.ts'; export type Y = X;`,
    /core may not import src/,
  ],
  ['worker/core/a.ts', `import { z } from 'zod'; z();`, /core may not use zod/],
  ['worker/core/a.ts', `export type X = import('../file/b.ts').X;`, /core may not import file/],
  ['worker/core/a.ts', `export * from '../api.ts'; export const a = 1;`, /core may not import worker/],
  ['worker/core/a.ts', `const m = await import('node:fs'); m;`, /core may not use node:fs/],
  ['worker/core/a.ts', `import { x } from './b'; x();`, /does not name its file|leads out/],
  ['worker/wire/a.ts', `import { x } from '../file/b.ts'; x();`, /wire may not import file/],
  ['worker/dial/a.ts', `import { x } from '../file/b.ts'; x();`, /dial may not import file/],
  ['worker/file/a.ts', `import { x } from 'preact'; x();`, /file may not use preact/],
  ['worker/api.ts', `import { expose } from 'comlink'; expose({});`, /worker may not use comlink/],
  [
    'worker/cli/a.ts',
    `import { readFile } from 'node:fs/promises'; readFile;`,
    /workerCli may not use node:/,
  ],
  [
    'worker/cli.ts',
    `import { x } from '../simulator/engine.ts'; x();`,
    /workerShell may not import simulator/,
  ],
  ['simulator/a.ts', `import { x } from '../worker/core/read.ts'; x();`, /only types from core/],
  ['simulator/a.ts', `import { x } from '../worker/file/b.ts'; x();`, /simulator may not import file/],
  [
    'simulator/cli/a.ts',
    `import { x } from '../../worker/cli/b.ts'; x();`,
    /simulatorCli may not import workerCli/,
  ],
  ['src/a.ts', `import { readFile } from 'node:fs/promises'; readFile;`, /src may not use node:/],
  ['src/a.ts', `import { x } from '../tests/support/b.ts'; x();`, /src may not import tests/],
  ['src/a.ts', `import { x } from '../worker/cli.ts'; x();`, /src may not import workerShell/],
  ['src/a.ts', `import { expose } from 'comlink'; expose({});`, /only the worker entry may expose/],
  [
    'src/a.ts',
    `new Worker(new URL('../simulator/cli.ts', import.meta.url));`,
    /src may not import simulatorShell/,
  ],
  [
    'src/store/a.ts',
    `import type { X } from '../capture/b.ts'; export type Y = X;`,
    /store may not import capture/,
  ],
  ['src/copy/a.ts', `import { x } from '../screens/keep/b.tsx'; x;`, /copy may not import screens/],
  ['build/a.mjs', `import { x } from '../tests/support/b.ts'; x();`, /build may not import tests/],
  ['build/a.ts', `import { x } from '../src/b.ts'; x();`, /build may not import src/],
  ['src/a.ts', `import { x } from '../package.json'; x;`, /leads out of the parts/],
  ['src/a.tsx', `export default function A() { return <p />; }`, /default export/],
  ['src/index.ts', `export { a } from './a.ts';\nexport * from './b.ts';`, /only re-exports/],
  ['scripts/a.ts', `export const a = 1;`, /belongs to no part/],
];

describe('breaking the one-way rule', () => {
  it.each(mischief)('%s: %s', (path, text, problem) => {
    expect(problemsOf(readSource(path, text)).join('\n')).toMatch(problem);
  });

  it('is not reported for an allowed import', () => {
    const innocent = `
      import { toKpa } from './units.ts';
      import type { Trace } from './trace.ts';
      export const find = (trace: Trace): number => toKpa(trace.timeS.length, 'psi');`;
    expect(problemsOf(readSource('worker/core/a.ts', innocent))).toEqual([]);
  });
});
