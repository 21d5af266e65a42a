/** The lint rules of `build/lint` report what they are for, and nothing else. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { root } from '../../build/install.mjs';

const RULES = ['signals-in-components', 'module-level-reads', 'asynchronous-effects'];

const violations: readonly [name: string, code: string][] = [
  ['signal in a component', `function Plain() { const a = signal(0); return a; }`],
  ['typed signal in a component', `function Plain() { return signal<string | null>(null); }`],
  [
    'computed in an arrow component',
    `const Arrow = (n: number) => { const b = computed(() => n); return b; };`,
  ],
  ['effect in a hook', `function useThing(x: number) { effect(() => console.log(x)); }`],
  ['signal in an event handler of a component', `function Plain() { return () => signal(0); }`],
  ['value read by a constant', `const wrong = count.value;`],
  ['value read as an argument', `console.log(count.value + 1);`],
  ['asynchronous effect', `effect(async () => { await fetch('/x'); console.log(count.value); });`],
  ['asynchronous function in useSignalEffect', `useSignalEffect(async () => console.log(count.value));`],
];

const correct: readonly [name: string, code: string][] = [
  ['signal at module level', `const CONSTANT = signal(3);`],
  ['signal in a factory', `function createThing() { return signal(1); }`],
  ['signal in useMemo', `function Plain() { return useMemo(() => signal(1), []); }`],
  ['useSignal', `function Plain() { return useSignal(1); }`],
  ['value read in a computed', `const twice = computed(() => count.value * 2);`],
  ['value read in a getter', `const thing = { get v() { return count.value; } };`],
  ['value read by peek', `const right = count.peek();`],
  ['value written', `count.value = 2;`],
  [
    'effect that starts an asynchronous function',
    `effect(() => { void load(count.value, async () => 1); });`,
  ],
];

let folder: string;
/** Names of the files that the rules report. */
let reported: Set<string>;

const fileName = (kind: string, at: number): string => `${kind}-${at}.tsx`;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'signal-lint-'));
  const plugins = RULES.map((rule) => join(root, 'build/lint', `${rule}.grit`));
  const config = { root: true, plugins, linter: { rules: { preset: 'none' } } };
  writeFileSync(join(folder, 'biome.json'), JSON.stringify(config));
  for (const [kind, cases] of Object.entries({ violation: violations, correct })) {
    for (const [i, [, code]] of cases.entries()) writeFileSync(join(folder, fileName(kind, i)), code);
  }
  const { stdout } = spawnSync(
    join(root, 'node_modules/.bin/biome'),
    ['lint', '--reporter=json', '--max-diagnostics=none', '.'],
    { cwd: folder, encoding: 'utf8' },
  );
  reported = new Set([...stdout.matchAll(/(?:violation|correct)-\d+\.tsx/g)].map(([name]) => name));
});

afterAll(() => rmSync(folder, { recursive: true }));

describe('the rules for signals', () => {
  it.each(RULES)('include %s in the lint of src', (rule) => {
    const config = JSON.parse(readFileSync(join(root, 'biome.json'), 'utf8'));
    expect(config.overrides).toContainEqual(
      expect.objectContaining({
        includes: ['src/**'],
        plugins: expect.arrayContaining([`./build/lint/${rule}.grit`]),
      }),
    );
  });

  it.each(violations.map(([name], i) => [name, i] as const))('report: %s', (_, i) => {
    expect(reported).toContain(fileName('violation', i));
  });

  it.each(correct.map(([name], i) => [name, i] as const))('accept: %s', (_, i) => {
    expect(reported).not.toContain(fileName('correct', i));
  });
});
